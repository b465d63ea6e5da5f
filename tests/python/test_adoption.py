"""Which book applies at a place, in Python and by the command."""

import datetime
import json
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest

import groundrule

COMMAND = shutil.which("groundrule")


def test_one_book_and_the_day_to_open_it_for() -> None:
    assert "harbor-city" in groundrule.shipped_adoptions()
    adoption = groundrule.open_adoption("harbor-city")
    assert [p["name"] for p in adoption.timeline()["periods"]] == [
        "edition-2017",
        "edition-2020",
        "ordinance-25-3",
    ]
    answer = adoption.find(on=datetime.date(2025, 10, 1))
    assert (answer.outcome, answer.book) == ("one_book", "nec-2020+harbor-city-2025")
    assert groundrule.open_book(answer.book or "", on=answer.on).name == answer.book


def test_a_choice() -> None:
    adoption = groundrule.open_adoption("harbor-city")
    answer = adoption.find({"application_date": "2025-08-01"})
    assert answer.outcome == "choice"
    assert answer.book is None
    assert [period.book for period in answer.periods] == ["nec-2020", "nec-2020+harbor-city-2025"]
    chosen = adoption.find({"application_date": "2025-08-01"}, choose="edition-2020")
    assert chosen.book == "nec-2020"
    with pytest.raises(groundrule.GroundruleError, match="no period"):
        adoption.find(on="2025-08-01", choose="edition-2017")


def test_what_is_missing_is_asked_for() -> None:
    adoption = groundrule.open_adoption("aldermark-county")
    answer = adoption.find(on="2021-01-01")
    assert answer.outcome == "asks"
    assert [m["fact"] for m in answer.missing] == ["job.occupancy"]
    house = adoption.find({"occupancy": "one_family_dwelling"}, on="2021-01-01")
    assert house.outcome == "handed_over"
    assert house.periods[0].book is None
    assert adoption.find(on="2000-01-01", job={"occupancy": "guest_room"}).outcome == "no_period"


def test_faults() -> None:
    with pytest.raises(groundrule.GroundruleError) as caught:
        groundrule.open_adoption("nowhere")
    assert caught.value.code == "unknown-place"
    hole = (
        "adoption own\n"
        'period a\n  book "nec-2017"\n  from 2020-01-01\n  until 2022-12-31\n  by permit_date\n'
        'period b\n  book "nec-2020"\n  from 2023-01-01\n  by permit_date\n'
    )
    with pytest.raises(groundrule.GroundruleError) as caught:
        groundrule.open_adoption("own", [hole])
    assert (caught.value.code, caught.value.line) == ("no-period-covers", 2)
    faults = groundrule.lint_rules("own", [hole])
    assert faults[0]["diagnostics"][0]["code"] == "no-period-covers"


@pytest.mark.skipif(COMMAND is None, reason="the command is not on PATH")
def test_command(garage: dict[str, Any], tmp_path: Path) -> None:
    def run(*arguments: object) -> subprocess.CompletedProcess[str]:
        line = [str(COMMAND), *map(str, arguments)]
        return subprocess.run(line, capture_output=True, encoding="utf-8", timeout=60)

    garage.pop("permit_date", None)
    job = tmp_path / "job.json"
    job.write_text(json.dumps(garage), encoding="utf-8")
    assert "adoption   harbor-city" in run("books").stdout
    assert "ordinance-25-3" in run("adoption", "harbor-city").stdout
    done = run("adoption", "harbor-city", "--on", "2025-08-01")
    assert (done.returncode, "chooses" in done.stdout) == (3, True)
    assert run("adoption", "harbor-city", "--on", "2026-01-01").returncode == 0
    assert run("adoption", "harbor-city", "--on", "2001-01-01").returncode == 2
    assert run("adoption", "nowhere").returncode == 2

    at = ("check", job, "--at", "harbor-city", "--on")
    found = json.loads(run(*at, "2026-01-01", "--format", "json").stdout)
    assert found["book"]["name"] == "nec-2020+harbor-city-2025"
    before = json.loads(run(*at, "2024-12-31", "--format", "json").stdout)
    assert before["book"]["name"] == "nec-2017"
    open_choice = run(*at, "2025-08-01")
    assert open_choice.returncode == 3
    assert "--choose" in open_choice.stderr
    chosen = run(*at, "2025-08-01", "--choose", "edition-2020", "--format", "json")
    assert json.loads(chosen.stdout)["book"]["name"] == "nec-2020"
    handed = run("check", job, "--at", "aldermark-county", "--on", "2025-01-01")
    assert (handed.returncode, "Residential code" in handed.stdout) == (3, True)
    assert run("check", job, "--at", "harbor-city", "--book", "nec-2020").returncode == 2
    # The day that decides is the job's date: a rule that goes by it needs no further question.
    town = run("check", job, "--at", "fernmoor-township", "--on", "2025-01-01", "--format", "json")
    asked = {m["fact"] for f in json.loads(town.stdout)["findings"] for m in f["missing"]}
    assert "job.permit_date" not in asked
