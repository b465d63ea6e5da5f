"""Published cases: every one is run as data, or waits with a reason."""

import json
import re
import shutil
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[3]
REFERENCE = ROOT / "tests" / "reference"
COMMAND = shutil.which("groundrule")


def cases() -> dict[str, dict[str, str]]:
    lines = (REFERENCE / "cases.jsonl").read_text(encoding="utf-8").splitlines()
    return {case["id"]: case for case in map(json.loads, lines)}


def page() -> tuple[set[str], dict[str, str]]:
    text = (REFERENCE / "cases.md").read_text(encoding="utf-8")
    held, waiting = text.split("## Not yet")
    reasons = re.findall(r"^\| ([AB]\d+) \| [^|]+ \| ([^|]+) \|$", waiting, re.M)
    return set(re.findall(r"\b[AB]\d{3}\b", held)), dict(reasons)


def test_every_case_is_held_or_waits_with_a_reason() -> None:
    held, waiting = page()
    assert held.isdisjoint(waiting)
    assert held | set(waiting) == set(cases())
    assert all(reason.strip() for reason in waiting.values())


def test_every_held_case_is_run_as_data() -> None:
    apart = "".join(f.read_text(encoding="utf-8") for f in REFERENCE.rglob("*.rules"))
    held, _ = page()
    for name in held:
        assert re.search(rf"\b{name}\b", apart) or (REFERENCE / "jobs" / f"{name}.json").is_file(), name


@pytest.mark.skipif(COMMAND is None, reason="the command is not on PATH")
@pytest.mark.parametrize("rules", sorted((REFERENCE / "published").glob("*.rules")), ids=lambda file: file.stem)
def test_published_answers_hold(rules: Path) -> None:
    assert COMMAND is not None
    edition, _, _ = rules.stem.partition("-")
    book = f"nec-{edition}+published-{rules.stem}"
    done = subprocess.run(
        [COMMAND, "test", book, "--rules", str(rules)], capture_output=True, encoding="utf-8"
    )
    assert done.returncode == 0, done.stdout + done.stderr
    assert not done.stdout.startswith("0 cases")
