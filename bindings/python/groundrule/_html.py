"""Findings as a plain table for notebooks."""

from collections.abc import Iterable
from html import escape

from groundrule._finding import Finding

_HEADS = ("Verdict", "Citation", "Rule", "Item", "Says")


def _row(cells: Iterable[str], tag: str) -> str:
    return "<tr>" + "".join(f"<{tag}>{escape(cell)}</{tag}>" for cell in cells) + "</tr>"


def _cells(finding: Finding) -> tuple[str, ...]:
    says = finding.says
    if finding.assumed:
        says += " Assumed: " + "; ".join(finding.assumed) + "."
    item = f"{finding.item_id} ({finding.item})" if finding.item_id else finding.item
    verdict = finding.verdict.value.replace("_", " ")
    if not finding.counts:
        verdict = f"{finding.force}: {verdict}"
    return verdict, finding.citation, finding.title, item, says


def table(findings: Iterable[Finding], cautions: Iterable[str]) -> str:
    rows = "".join(_row(_cells(finding), "td") for finding in findings)
    notes = "".join(f"<p>{escape(caution)}</p>" for caution in cautions)
    return f"<table><thead>{_row(_HEADS, 'th')}</thead><tbody>{rows}</tbody></table>{notes}"
