"""The first job that has to work: a charging outlet in a garage, under several books."""

import json
from pathlib import Path
from typing import Any

import pytest

import groundrule
from groundrule import Verdict


def violated(findings: groundrule.Findings) -> set[str]:
    return {finding.citation for finding in findings.violations}


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("nec-2017", {"240.4"}),
        ("nec-2017+tia-17-2", {"240.4", "625.54"}),
        ("nec-2020", {"210.8(A)(2)", "240.4", "625.54"}),
        ("nec-2023", {"210.8(A)(2)", "240.4", "625.54"}),
    ],
)
def test_the_same_facts_differ_by_edition(
    name: str, expected: set[str], garage: dict[str, Any]
) -> None:
    findings = groundrule.open_book(name).check(garage)
    assert expected <= violated(findings)
    assert findings.exit_status() == 1
    if name == "nec-2017":
        assert "625.54" not in violated(findings)
        assert not any(c.startswith("210.8") for c in violated(findings))


def test_a_fault_mended_is_gone(book: groundrule.Book, garage: dict[str, Any]) -> None:
    circuit = garage["panels"][0]["circuits"][0]
    circuit["receptacles"][0]["gfci"] = "class_a"
    circuit["runs"][0]["designation"] = "6/3 NM-B"
    circuit["boxes"][0]["entries"][0]["designation"] = "6/3 NM-B"
    findings = book.check(garage)
    assert "240.4" not in violated(findings)
    assert not any(c.startswith("210.8") for c in violated(findings))


def test_a_finding_has_all_parts(garage: dict[str, Any]) -> None:
    findings = groundrule.open_book("nec-2017+tia-17-2").check(garage)
    (finding,) = findings.filter(citation="625.54", verdict="violates")
    assert finding.topic == "charging_receptacle_gfci"
    assert finding.verdict is Verdict.VIOLATES
    assert finding.item == "panels[0].circuits[0].receptacles[0]"
    assert finding.item_id == "charging outlet"
    assert finding.layer == "tia-17-2"
    assert finding.decided_by == "625.54"
    assert finding.force == "shall" and finding.counts
    assert finding.known_to_apply
    assert "acceptance" in finding.stages
    assert "none" in finding.says
    assert finding.title
    values = {value.name: value for value in finding.values}
    assert values["receptacle.gfci"].value == "none"
    assert values["receptacle.gfci"].source == "given"
    assert values["receptacle.rated_current"].value == "50 A"
    assert values["receptacle.rated_current"].source.startswith("implied")


def test_what_is_missing_is_asked_for(book: groundrule.Book, garage: dict[str, Any]) -> None:
    del garage["panels"][0]["circuits"][0]["receptacles"][0]["gfci"]
    (finding,) = book.check(garage).filter(topic="dwelling_receptacle_gfci")
    assert finding.verdict is Verdict.UNDETERMINED
    missing = {m.fact: m for m in finding.missing}["receptacle.gfci"]
    assert missing.item == "panels[0].circuits[0].receptacles[0]"
    assert missing.kind == "choice"
    assert missing.question.endswith(".") or missing.question.endswith("?")
    assert "class_a" in missing.choices


def test_assumptions_are_told(book: groundrule.Book, garage: dict[str, Any], root: Path) -> None:
    run = garage["panels"][0]["circuits"][0]["runs"][0]
    del run["ambient_temperature"]
    (open_finding,) = book.check(garage).filter(topic="conductor_protection")
    assert open_finding.verdict is Verdict.UNDETERMINED
    for assume in (
        {"run.ambient_temperature": "30 °C"},
        {"assume": {"run.ambient_temperature": "30 °C"}},
        '{"assume": {"run.ambient_temperature": "30 °C"}}',
        root / "docs/examples/assume-usual.json",
    ):
        (finding,) = book.check(garage, assume=assume).filter(topic="conductor_protection")
        assert finding.verdict is Verdict.VIOLATES
        assert any("ambient_temperature" in text for text in finding.assumed)


def test_stages(book: groundrule.Book, garage: dict[str, Any]) -> None:
    everything = book.check(garage)
    design = book.check(garage, stage="design")
    assert 0 < len(design) < len(everything)
    assert all("design" in finding.stages for finding in design)


def test_every_way_to_hand_in_a_job(
    book: groundrule.Book, garage: dict[str, Any], root: Path
) -> None:
    path = root / "docs/examples/garage-outlet.json"
    texts = {
        book.check(garage).to_json(),
        book.check(json.dumps(garage)).to_json(),
        book.check(path.read_text(encoding="utf-8")).to_json(),
        book.check(path).to_json(),
    }
    assert len(texts) == 1


def test_reports(book: groundrule.Book, garage: dict[str, Any]) -> None:
    findings = book.check(garage)
    report = json.loads(findings.to_json())
    assert report["book"] == {**report["book"], "name": "nec-2020", "digest": book.digest}
    assert len(report["findings"]) == len(findings)
    assert findings.book_digest == book.digest
    assert findings.not_encoded
    sarif = json.loads(findings.to_sarif())
    assert sarif["version"] == "2.1.0"
    text = str(findings)
    assert "240.4" in text and "authority having jurisdiction" in text
    assert "\033" not in text
    assert len(findings.to_text(all=True)) > len(text)


def test_a_table_for_notebooks(book: groundrule.Book, garage: dict[str, Any]) -> None:
    garage["panels"][0]["circuits"][0]["receptacles"][0]["id"] = "<b>&outlet"
    findings = book.check(garage)
    html = findings._repr_html_()
    assert html.startswith("<table>")
    assert "<b>" not in html and "&lt;b&gt;&amp;outlet" in html
    assert "authority having jurisdiction" in html
    assert "authority having jurisdiction" in findings.violations._repr_html_()
    assert html.count("<tr>") == len(findings) + 1
