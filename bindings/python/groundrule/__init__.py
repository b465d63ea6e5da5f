"""Checks electrical installations against a code edition and its amendments.

    import groundrule

    book = groundrule.open_book("nec-2020")
    findings = book.check({"work": "new", "occupancy": "one_family_dwelling", "panels": [...]})
    for finding in findings.violations:
        print(finding.citation, finding.item, finding.says)

Quantities are texts with their unit ("50 A", "40 ft", "30 °C", "8 AWG"); a fact that is left out is
unknown, which is not the same as no. Findings inform licensed work and never replace it: the
locally adopted code and the authority having jurisdiction decide.
"""

from groundrule._adoption import Adoption, Answer, Period, open_adoption, shipped_adoptions
from groundrule._answers import (
    Explanations,
    Interview,
    Question,
    explain,
    find_largest,
    find_remedies,
)
from groundrule._book import Book, open_book, shipped_amendments, shipped_editions
from groundrule._columns import Column, ColumnMap
from groundrule._compare import Comparison, compare_audits, compare_books
from groundrule._core import GroundruleError, version
from groundrule._finding import Finding, Missing, Value, Verdict
from groundrule._findings import Findings, Selection
from groundrule._guess import guess_columns
from groundrule._mutation import Mutation, Survivor, mutate
from groundrule._rules import format_rules, lint_rules

__version__ = version()

__all__ = [
    "Adoption",
    "Answer",
    "Book",
    "Column",
    "ColumnMap",
    "Comparison",
    "Explanations",
    "Finding",
    "Findings",
    "GroundruleError",
    "Interview",
    "Missing",
    "Mutation",
    "Period",
    "Question",
    "Selection",
    "Survivor",
    "Value",
    "Verdict",
    "compare_audits",
    "compare_books",
    "explain",
    "find_largest",
    "find_remedies",
    "format_rules",
    "guess_columns",
    "lint_rules",
    "mutate",
    "open_adoption",
    "open_book",
    "shipped_adoptions",
    "shipped_amendments",
    "shipped_editions",
]
