"""Comparison of books, in Python and by the command."""

import json
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest

import groundrule

COMMAND = shutil.which("groundrule")


def test_books(garage: dict[str, Any]) -> None:
    before = groundrule.open_book("nec-2017")
    after = groundrule.open_book("nec-2017+tia-17-2")
    comparison = groundrule.compare_books(before, after)
    assert not comparison.same
    rules = {rule["topic"]: rule for rule in comparison.to_dict()["rules"]}
    added = rules["charging_receptacle_gfci"]
    assert (added["change"], added["effect"]) == ("added", "stricter")
    assert added["citation"] == {"before": None, "after": "625.54"}
    assert "jobs" not in comparison.to_dict()
    assert "625.54" in str(comparison)
    tried = groundrule.compare_books(before, after, [garage, {"work": "existing"}]).to_dict()["jobs"]
    assert tried["jobs"] == 2
    assert {finding["job"] for finding in tried["changed_findings"]} == {"job 1"}
    assert groundrule.compare_books(before, before, [garage]).same


def test_a_job_at_fault() -> None:
    book = groundrule.open_book("nec-2017")
    with pytest.raises(groundrule.GroundruleError, match="job 2:1:"):
        groundrule.compare_books(book, book, [{}, {"no_such_fact": 1}])


@pytest.mark.skipif(COMMAND is None, reason="the command is not on PATH")
def test_command(garage: dict[str, Any], tmp_path: Path) -> None:
    def run(*arguments: object) -> subprocess.CompletedProcess[str]:
        line = [str(COMMAND), "compare", *map(str, arguments)]
        return subprocess.run(line, capture_output=True, encoding="utf-8", timeout=60)

    done = run("nec-2020", "nec-2020+harbor-city-2025")
    assert (done.returncode, done.stderr) == (1, "")
    assert "limit spacing: from 4 ft 6 in to 3 ft (stricter)" in done.stdout
    assert run("nec-2020", "nec-2020").returncode == 0
    assert run("nec-2020", "nec-2019").returncode == 2
    jobs = tmp_path / "jobs.jsonl"
    jobs.write_text(json.dumps(garage) + "\n\n" + json.dumps({"work": "new"}) + "\n")
    done = run("nec-2020", "nec-2023", "--jobs", jobs, "--format", "json")
    assert json.loads(done.stdout)["jobs"]["jobs"] == 2
    jobs.write_text('{}\n{"x"\n')
    done = run("nec-2020", "nec-2023", "--jobs", jobs)
    assert done.returncode == 2
    assert "jobs.jsonl, job 2" in done.stderr
