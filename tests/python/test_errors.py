"""Bad input: one exception class that keeps the place."""

import datetime
import pickle
from pathlib import Path
from typing import Any

import pytest

import groundrule
from groundrule import GroundruleError

OWN = """\
amendment own to nec-2020
  title "Own"

rule 90.100 "High receptacles"
  topic own_height
  stage acceptance
  for receptacle
  shall height at least 18 in
  says "Too low: {height}."
  source "Invented."
"""


@pytest.mark.parametrize("name", ["", "nec-2021", "nec-2020+nothing", "nec-2020+"])
def test_unknown_books(name: str) -> None:
    with pytest.raises(GroundruleError) as caught:
        groundrule.open_book(name)
    assert caught.value.code
    assert (caught.value.file, caught.value.line, caught.value.column) == ("", 0, 0)


def test_faults_of_a_rule_text() -> None:
    with pytest.raises(GroundruleError) as caught:
        groundrule.open_book("nec-2020+own", [OWN.replace("height at", "hight at")])
    error = caught.value
    assert (error.file, error.line) == ("rules[0]", 8)
    assert error.column > 0
    assert "height" in str(error)
    assert isinstance(error, ValueError)
    again = pickle.loads(pickle.dumps(error))
    assert (str(again), again.code, again.line) == (str(error), error.code, error.line)


def test_rules_from_texts_and_paths(tmp_path: Path, garage: dict[str, Any]) -> None:
    path = tmp_path / "own.rules"
    path.write_text(OWN, encoding="utf-8")
    garage["panels"][0]["circuits"][0]["receptacles"][0]["height"] = "12 in"
    for rules in ([OWN], [path], [str(path)]):
        findings = groundrule.open_book("nec-2020+own", rules).check(garage)
        assert [f.layer for f in findings.filter(topic="own_height", verdict="violates")] == ["own"]


def test_what_is_no_rule_file(tmp_path: Path) -> None:
    with pytest.raises(FileNotFoundError):
        groundrule.open_book("nec-2020", [tmp_path / "none.rules"])
    with pytest.raises(TypeError):
        groundrule.open_book("nec-2020", OWN)
    with pytest.raises(TypeError):
        groundrule.open_book("nec-2020", [7])  # type: ignore[list-item]
    latin = tmp_path / "latin.rules"
    latin.write_bytes(b'amendment own to nec-2020\n  title "\xe9"\n')
    with pytest.raises(GroundruleError) as caught:
        groundrule.open_book("nec-2020+own", [latin])
    assert caught.value.file == str(latin)


@pytest.mark.parametrize(
    ("job", "code"),
    [
        ("", "not-json"),
        ('{"work": "new"', "not-json"),
        ({"wrok": "new"}, "unknown-field"),
        ({"work": "brand_new"}, "unknown-choice"),
        ({"panels": [{"circuits": [{"breaker": 50}]}]}, "no-unit"),
        ({"panels": [{"circuits": [{"breaker": "50 V"}]}]}, "wrong-unit"),
    ],
)
def test_faults_of_a_job(book: groundrule.Book, job: Any, code: str) -> None:
    with pytest.raises(GroundruleError) as caught:
        book.check(job)
    assert caught.value.code == code
    assert (caught.value.file, caught.value.line) == ("job", 1)
    assert caught.value.column >= 1


def test_all_faults_at_once(book: groundrule.Book) -> None:
    with pytest.raises(GroundruleError) as caught:
        book.check({"wrok": "new", "panels": [{"rol": "subpanel"}]})
    assert '"work"' in str(caught.value) and '"role"' in str(caught.value)


def test_a_contradiction(book: groundrule.Book, garage: dict[str, Any]) -> None:
    garage["panels"][0]["circuits"][0]["receptacles"][0]["rated_current"] = "30 A"
    with pytest.raises(GroundruleError) as caught:
        book.check(garage)
    assert "30 A" in str(caught.value) and "50 A" in str(caught.value)


def test_bad_arguments(book: groundrule.Book, garage: dict[str, Any]) -> None:
    with pytest.raises(GroundruleError, match="tomorrow"):
        book.check(garage, stage="tomorrow")
    with pytest.raises(GroundruleError, match="receptacle.gfci"):
        book.check(garage, assume={"receptacle.gfi": "none"})
    with pytest.raises(TypeError):
        book.check(7)  # type: ignore[arg-type]
    with pytest.raises(TypeError):
        book.check({"work": object()})
    with pytest.raises(TypeError):
        book.check(garage, assume=7)  # type: ignore[arg-type]
    with pytest.raises(ValueError):
        book.check({"storeys": float("nan")})


def test_dates_and_unknowns(book: groundrule.Book) -> None:
    day = datetime.date(2024, 3, 31)
    dated = book.check({"permit_date": day, "panels": ({"role": None},)})
    assert dated.to_json() == book.check({"permit_date": "2024-03-31", "panels": [{}]}).to_json()
    with pytest.raises(TypeError):
        book.check({"permit_date": datetime.datetime(2024, 3, 31)})
