"""Findings as a sequence, and what filters pick."""

from typing import Any

import pytest

import groundrule
from groundrule import Verdict


@pytest.fixture
def findings(book: groundrule.Book, garage: dict[str, Any]) -> groundrule.Findings:
    return book.check(garage)


def test_a_sequence(findings: groundrule.Findings) -> None:
    assert len(list(findings)) == len(findings) > 0
    assert findings[0] == next(iter(findings))
    assert findings[-1] in findings
    assert list(findings[1:3]) == [findings[1], findings[2]]
    with pytest.raises(IndexError):
        findings[len(findings)]


def test_verdicts(findings: groundrule.Findings) -> None:
    by_verdict = {v: findings.filter(verdict=v) for v in Verdict}
    assert sum(map(len, by_verdict.values())) == len(findings)
    assert list(findings.filter(verdict="violates")) == list(by_verdict[Verdict.VIOLATES])
    assert set(findings.violations) <= set(by_verdict[Verdict.VIOLATES])
    with pytest.raises(ValueError):
        findings.filter(verdict="passes")


def test_a_citation_stands_for_what_is_below_it(findings: groundrule.Findings) -> None:
    below = findings.filter(citation="210.8")
    assert {"210.8(A)(2)"} <= {f.citation for f in below}
    assert not any(f.citation.startswith("210.80") for f in below)
    assert len(findings.filter(citation="210")) > len(below)
    assert len(findings.filter(citation="2")) == 0
    assert len(findings.filter(citation="210.8(A)", verdict="violates")) == 1


def test_items(findings: groundrule.Findings) -> None:
    circuit = findings.filter(item="panels[0].circuits[0]")
    assert {f.item for f in circuit} >= {"panels[0].circuits[0].receptacles[0]"}
    by_id = findings.filter(item="charging outlet")
    assert {f.item for f in by_id} == {"panels[0].circuits[0].receptacles[0]"}
    assert len(findings.filter(item="panels[1]")) == 0


def test_filters_chain(findings: groundrule.Findings) -> None:
    chained = findings.violations.filter(citation="625").filter(topic="charging_receptacle_gfci")
    assert [f.citation for f in chained] == ["625.54"]
    assert "1 violates" in repr(chained)
    assert repr(findings).startswith("<Findings: ")


def test_a_finding_is_a_value(findings: groundrule.Findings) -> None:
    finding = findings[0]
    assert hash(finding) == hash(findings[0])
    with pytest.raises(AttributeError):
        finding.says = "other"  # type: ignore[misc]
