"""The command `groundrule audit`, which the main command hands over to (as groundrule-audit)."""

import argparse
import json
import sys
from collections.abc import Sequence
from contextlib import ExitStack
from typing import Any

from groundrule._audit import Audit
from groundrule._book import open_book
from groundrule._columns import ColumnMap
from groundrule._compare import compare_audits
from groundrule._core import GroundruleError
from groundrule._guess import guess_columns
from groundrule._impact import CHANGES, Impact
from groundrule._output import written_whole

CLEAN, VIOLATED, BAD_INPUT, OPEN, INTERRUPTED = 0, 1, 2, 3, 130

_MISSING_SHOWN = 10
_FOOTER = """exit status: 0 nothing violated, nothing open; 1 something violated; 3 something open, or a cell that
can't be read; 2 bad input, and no file is written.

Findings inform licensed work and never replace it: the locally adopted code and
the authority having jurisdiction decide."""


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="groundrule audit",
        description="Check every row of a table.",
        epilog=_FOOTER,
        formatter_class=argparse.RawDescriptionHelpFormatter,
        allow_abbrev=False,
    )
    add = parser.add_argument
    add("table", metavar="TABLE", help="a Parquet or CSV file")
    add("--book", required=True, help="edition and amendments in order, such as nec-2023")
    add("--before", metavar="BOOK", help="the book in force: tells what changes from it")
    add("--rules", metavar="FILE", action="append", default=[], help="a further rule file; repeatable")
    add("--on", metavar="DATE", help="the day on which amendments have to be in force")
    add("--columns", metavar="MAP.toml", help="what the columns tell (docs/auditing.md)")
    add("--guess-columns", action="store_true", help="print a first map for correction, and end")
    add("--item", default="", help="what a row is, if the map does not say it")
    add("--stage", choices=("design", "rough_in", "trim_out", "acceptance"))
    add("--out", metavar="FILE", help="the violations, as .parquet or .csv")
    add("--report", metavar="FILE.html", help="one page with everything, to hand on")
    add("--title", default="", help="of the report")
    add("--note", default="", help="a sentence for the report, such as where the table comes from")
    add("--format", choices=("text", "json"), default="text")
    add("--threads", type=int, default=None, metavar="N", help="default: all processors")
    return parser


def _summary(audit: Audit, impact: Impact | None) -> dict[str, Any]:
    (rows,) = audit.row_counts().to_pylist()
    told: dict[str, Any] = {
        "basis": audit.basis(),
        "rows": rows,
        "rules": audit.counts().to_pylist(),
        "missing": audit.missing().to_pylist(),
        "problems": audit.problem_count,
        "problems_by_column": audit.problem_counts,
    }
    if impact is not None:
        told["before"] = {"name": impact.before.book.name, "digest": impact.before.book.digest}
        (told["changed_rows"],) = impact.by_row().to_pylist()
        told["changed_rules"] = impact.by_clause().to_pylist()
    return told


def _text(told: dict[str, Any]) -> str:
    basis, rows = told["basis"], told["rows"]
    lines = [f"{basis['table']}: {rows['rows']:,} rows ({basis['item']}) by {basis['book']['name']}"]
    lines.append(f"  digest {basis['book']['digest']}")
    names = {
        "violates": "violate a rule",
        "undetermined": "stay open (not passed)",
        "complies": "comply, nothing open",
        "not_applicable": "no rule applies",
        "no_verdict": "can't be read",
    }
    lines += [f"  {rows[key]:>12,}  {name}" for key, name in names.items()]
    violated = [r for r in told["rules"] if r["violates"] and r["force"] == "shall"]
    if violated:
        lines += ["", "Violated, by clause:"]
        violated.sort(key=lambda rule: -rule["violates"])
        lines += [f"  {r['violates']:>12,}  {r['citation']:<16} {r['title']}" for r in violated]
    if told["missing"]:
        lines += ["", "Verdicts kept open, by what is missing:"]
        for fact in told["missing"][:_MISSING_SHOWN]:
            lines.append(f"  {fact['decisions']:>12,}  {fact['fact'] or fact['kind'].replace('_', ' ')}")
    if "changed_rows" in told:
        lines += ["", f"Rows that change from {told['before']['name']}:"]
        lines += [f"  {told['changed_rows'][c]:>12,}  {c.replace('_', ' ')}" for c in CHANGES]
    if told["problems"]:
        lines += ["", f"{told['problems']:,} cells or rows can't be read:"]
        by_column = sorted(told["problems_by_column"].items(), key=lambda pair: -pair[1])
        lines += [f"  {count:>12,}  {name or '(facts that contradict)'}" for name, count in by_column]
    for name, value in (("whole lists", basis["complete"]), ("assumed", basis["assumed"])):
        listed = ", ".join(f"{k} = {v}" for k, v in value.items()) if isinstance(value, dict) else ", ".join(value)
        lines += ["", f"{name}: {listed or 'none'}"]
    return "\n".join(lines + ["", *basis["cautions"]])


def _status(audit: Audit) -> int:
    (rows,) = audit.row_counts().to_pylist()
    if rows["violates"]:
        return VIOLATED
    return OPEN if rows["undetermined"] or rows["no_verdict"] else CLEAN


def _run(told: argparse.Namespace) -> int:
    book = open_book(told.book, told.rules, told.on)
    if told.guess_columns:
        guessed, remarks = guess_columns(book, told.table, told.item or "receptacle")
        print(guessed.to_toml(remarks), end="")
        return CLEAN
    if told.report:
        import matplotlib  # noqa: F401  (told before the run, not after it)
    columns = ColumnMap.load(told.columns) if told.columns else None
    common: dict[str, Any] = {"columns": columns, "item": told.item, "stage": told.stage, "threads": told.threads}
    with ExitStack() as files:
        out, report = (files.enter_context(written_whole(f)) if f else None for f in (told.out, told.report))
        audit = book.audit(told.table, write_findings=out, **common)
        impact = None
        if told.before:
            before = open_book(told.before, told.rules, told.on)
            impact = compare_audits(before, book, told.table, **common)
        if report:
            audit.write_report(report, told.title, impact, told.note)
        summary = _summary(audit, impact)
    print(json.dumps(summary, indent=2, default=str) if told.format == "json" else _text(summary))
    return _status(audit)


def main(arguments: Sequence[str] | None = None) -> int:
    told = _parser().parse_args(arguments)
    try:
        return _run(told)
    except (GroundruleError, ValueError, TypeError, OSError, ImportError) as fault:
        for line in str(fault).splitlines():
            print(f"groundrule: {line}", file=sys.stderr)
        return BAD_INPUT
    except KeyboardInterrupt:
        print("groundrule: interrupted; no file is written", file=sys.stderr)
        return INTERRUPTED


if __name__ == "__main__":
    raise SystemExit(main())
