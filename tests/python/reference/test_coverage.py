"""rulesets/COVERAGE.md is what the books say of themselves."""

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[3]
COMMAND = shutil.which("groundrule")


def written() -> str:
    assert COMMAND is not None
    program = ROOT / "tests" / "reference" / "coverage.py"
    done = subprocess.run([sys.executable, program, COMMAND], capture_output=True, encoding="utf-8", check=True)
    return done.stdout


@pytest.mark.skipif(COMMAND is None, reason="the command is not on PATH")
def test_the_coverage_page_is_current() -> None:
    assert written() == (ROOT / "rulesets" / "COVERAGE.md").read_text(encoding="utf-8"), (
        "run: python3 tests/reference/coverage.py build/release/bin/groundrule > rulesets/COVERAGE.md"
    )


def test_clauses_stand_as_in_a_code_book() -> None:
    lines = (ROOT / "rulesets" / "COVERAGE.md").read_text(encoding="utf-8").splitlines()
    clauses = [line.split(" | ")[0].removeprefix("| ") for line in lines if line.startswith("| ") and "." in line.split(" | ")[0]]
    assert len(clauses) > 250
    assert clauses.index("210.8(A)") < clauses.index("210.12(B)") < clauses.index("210.52(A)")
    assert clauses.index("110.26(C)") < clauses.index("210.4(A)") < clauses.index("702.4")
