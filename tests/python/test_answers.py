"""Why, what to ask next, what would pass, how far a fact may go."""

import json
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest

import groundrule

COMMAND = shutil.which("groundrule")


def run(*arguments: object, stdin: str = "") -> subprocess.CompletedProcess[str]:
    assert COMMAND is not None
    line = [COMMAND, *map(str, arguments)]
    return subprocess.run(line, input=stdin, capture_output=True, encoding="utf-8", timeout=60)


@pytest.fixture(scope="module")
def book() -> groundrule.Book:
    return groundrule.open_book("nec-2020")


def test_why(book: groundrule.Book, garage: dict[str, Any]) -> None:
    why = groundrule.explain(book, garage, "conductor_size_before_factors")
    assert len(why) == 1
    explanation = why.to_dict()["explanations"][0]
    assert explanation["verdict"] == "violates"
    figures = {v["name"]: v.get("figures") for v in explanation["values"]}
    assert figures["circuit.sizing_current"] == "40 A × 125 % + 0 A = 50 A"
    # The steps are enough to see why: the requirement compares its two parts.
    requirement = explanation["steps"][explanation["requirement"][0]["step"]]
    left, right = (explanation["steps"][part] for part in requirement["parts"])
    assert (requirement["op"], left["value"], right["value"]) == ("at_most", 50.0, 40.0)
    assert why.to_html().startswith("<!DOCTYPE html>")
    with pytest.raises(groundrule.GroundruleError) as fault:
        groundrule.explain(book, garage, "210.191")
    assert fault.value.code == "no-such-finding"


def test_remedies_pass_a_check(book: groundrule.Book, garage: dict[str, Any]) -> None:
    told = groundrule.find_remedies(book, garage, most=0)
    assert told["exhausted"] and told["cautions"]
    changes = [
        {c["fact"]: c["value"] for c in remedy["changes"]} for remedy in told["remedies"]
    ]
    breaker = {
        "circuit.breaker": "40 A",
        "receptacle.gfci": "class_a",
        "equipment.rated_current": "32 A",
    }
    assert breaker in changes
    circuit = garage["panels"][0]["circuits"][0]
    circuit["breaker"] = "40 A"
    circuit["receptacles"][0]["gfci"] = "class_a"
    circuit["equipment"][0]["rated_current"] = "32 A"
    assert not book.check(garage).violations
    dear = groundrule.find_remedies(book, circuit_of_violations(garage), costs={"circuit.breaker": 50})
    assert "circuit.breaker" not in [c["fact"] for c in dear["remedies"][0]["changes"]]


def circuit_of_violations(garage: dict[str, Any]) -> dict[str, Any]:
    circuit = garage["panels"][0]["circuits"][0]
    circuit["breaker"] = "50 A"
    circuit["equipment"][0]["rated_current"] = "40 A"
    return garage


def test_largest(book: groundrule.Book, garage: dict[str, Any]) -> None:
    circuit = garage["panels"][0]["circuits"][0]
    circuit["receptacles"][0]["gfci"] = "class_a"
    circuit["runs"][0]["designation"] = "6/3 NM-B"
    circuit["boxes"] = []
    told = groundrule.find_largest(
        book, garage, "equipment.rated_current", "1 A", "60 A", "1 A"
    )
    assert told["largest"] == "40 A"


def test_interview(book: groundrule.Book) -> None:
    interview = groundrule.Interview(book, {}, outline=True)
    question = interview.question
    assert question is not None and question.fact == "job.work"
    with pytest.raises(groundrule.GroundruleError) as fault:
        interview.answer("newish")
    assert str(fault.value).startswith('error [unknown-choice]: "newish" is no choice of job.work')
    interview.answer("new")
    question = interview.question
    assert question is not None and question.fact == "job.occupancy"
    interview.answer("one_family_dwelling")
    question = interview.question
    assert question is not None and question.fact == "job.panels"
    for wrong in ("many", "1 old", "0+"):
        with pytest.raises(groundrule.GroundruleError):
            interview.answer(wrong)
    interview.answer("1+ existing")
    interview.skip()
    assert interview.job()["panels"] == [{"work": "existing"}]
    assert "questions" in interview.next()


@pytest.mark.skipif(COMMAND is None, reason="the command is not on PATH")
def test_verbs(root: Path, tmp_path: Path) -> None:
    job = root / "docs/examples/garage-outlet.json"
    done = run("explain", job, "--book", "nec-2020", "--finding", "625.54")
    assert done.returncode == 0 and "receptacle.gfci = none" in done.stdout
    assert run("explain", job, "--book", "nec-2020", "--finding", "1.1").returncode == 2
    done = run("remedy", job, "--book", "nec-2020")
    assert done.returncode == 0 and "Remedy 1" in done.stdout
    assert run("remedy", job, "--book", "nec-2020", "--cost", "circuit.breaker").returncode == 2
    done = run(
        "largest", job, "--book", "nec-2020", "--fact", "circuit.breaker",
        "--from", "10 A", "--to", "20 A", "--step", "5 A", "--format", "json",
    )  # fmt: skip
    assert json.loads(done.stdout)["points"] == 3
    assert "questions" in json.loads(
        run("ask", job, "--book", "nec-2020", "--list", "--format", "json").stdout
    )


@pytest.mark.skipif(COMMAND is None, reason="the command is not on PATH")
def test_ask_writes_the_job_whole_or_not_at_all(tmp_path: Path) -> None:
    out = tmp_path / "job.json"
    done = run("ask", "--book", "nec-2020", "--outline", "--out", out, stdin="new\n\n1+\n.\n")
    assert done.returncode == 0
    assert json.loads(out.read_text(encoding="utf-8")) == {"work": "new", "panels": [{}]}
    before = out.read_bytes()
    missing = tmp_path / "no" / "job.json"
    done = run("ask", "--book", "nec-2020", "--out", missing, stdin=".\n")
    assert done.returncode == 2 and not missing.exists()
    assert run("ask", "-x").returncode == 2
    assert out.read_bytes() == before
