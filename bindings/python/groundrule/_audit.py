"""One book over a table: counts at once, everything else when it is asked for."""

import json
import os
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from groundrule._book import Book
from groundrule._columns import Column, ColumnMap
from groundrule._findings import Findings
from groundrule._findings_table import findings_batch, findings_schema, matrix_batch, matrix_schema
from groundrule._missing import Missing
from groundrule._output import table_written
from groundrule._pass import VERDICTS, VIOLATES, Checked, Pass, threads_available
from groundrule._problems import Problem, problem_table, problems_of
from groundrule._progress import progress as progress_of
from groundrule._reading import Reading
from groundrule._source import Source, arrow, source_of
from groundrule._tally import Tally, rows_table, rules_table

if TYPE_CHECKING:
    from groundrule._impact import Impact

PROBLEMS_HELD = 1_000

Columns = ColumnMap | Mapping[str, str] | str | os.PathLike[str] | None


def column_map(columns: Columns, units: Mapping[str, str] | None, **more: Any) -> ColumnMap:
    """One map from all that a caller tells; what is told by keyword goes before what a file says."""
    if columns is None:
        told = ColumnMap()
    elif isinstance(columns, ColumnMap):
        told = columns
    elif isinstance(columns, Mapping):
        told = ColumnMap(columns={name: Column(fact) for name, fact in columns.items()})
    else:
        told = ColumnMap.load(columns)
    entries = dict(told.columns)
    item = more.get("item") or told.item or "circuit"
    for name, unit in (units or {}).items():
        fact = name if "." in name else f"{item}.{name}"
        entries[name] = replace(entries.get(name, Column(fact)), unit=unit)
    if isinstance(more.get("groups"), Sequence):
        more["groups"] = {name.partition(":")[0]: name for name in more["groups"]}
    given = {name: value for name, value in more.items() if value}
    if "complete" in given:
        given["complete"] = tuple(given["complete"])
    return replace(told, columns=entries, **given)


class Audit:
    """What a book says of the rows of a table. Made by Book.audit.

    Counts are held; tables are made by going over the source again, batch by batch, so that memory
    does not grow with it. They come as pyarrow objects, which polars, pandas and DuckDB take as they
    are. A source that could be read only once (an iterator) has counts, `missing` and the first
    problems; the rest raises ValueError.
    """

    def __init__(self, run: Pass, threads: int, show: bool | None) -> None:
        self._run = run
        self._threads = threads
        self._show = show
        self._spent = False
        self._tally = Tally(run.rules, list(run.reading.told.groups))
        self._missing = Missing(run.rules)
        self.problem_count = 0
        """Cells that can't be read and rows that contradict themselves: their rows have no verdicts."""
        self.problem_counts: dict[str, int] = {}
        """The same by column."""
        self.first_problems: list[Problem] = []

    def _go(self, each: Callable[[Checked], None] | None = None) -> None:
        source = self._run.reading.source
        with progress_of(source.rows, self._run.book.name, self._show) as bar:
            for checked in self._pass():
                self._tally.add(checked, self._run.reading.group_arrays(checked.rows))
                self._missing.add(checked)
                for problem in problems_of(self._run, checked):
                    self.problem_count += 1
                    column = problem.column
                    self.problem_counts[column] = self.problem_counts.get(column, 0) + 1
                    if len(self.first_problems) < PROBLEMS_HELD:
                        self.first_problems.append(problem)
                if each is not None:
                    each(checked)
                bar.update(checked.rows.num_rows)

    def _pass(self) -> Iterator[Checked]:
        if self._spent and not self._run.reading.source.repeatable:
            raise ValueError(
                "the batches have been read, and can't be read again: write findings during the"
                " audit (write_findings), or audit a table, a list of batches or a file"
            )
        self._spent = True
        return iter(self._run)

    @property
    def rows(self) -> int:
        return int(self._tally.total_rows().sum())

    @property
    def groups(self) -> tuple[str, ...]:
        """Names by which results can be counted."""
        return tuple(self._tally.labels)

    def counts(self, by: str | Sequence[str] = ()) -> Any:
        """A table of verdict counts, a row for each rule: citation, topic, title, force, item, then
        complies, violates, not_applicable, undetermined and no_verdict. by: group columns."""
        return rules_table(self._tally, [by] if isinstance(by, str) else by)

    def row_counts(self, by: str | Sequence[str] = ()) -> Any:
        """How many rows of the table came out how, over all rules that count (of force "shall"):
        one violated rule makes a row violate, else one that is open leaves it undetermined."""
        return rows_table(self._tally, [by] if isinstance(by, str) else by)

    def findings(self, verdicts: Iterable[str] = ("violates",)) -> Any:
        """The long table, as a pyarrow.RecordBatchReader, ordered by row: row (from 0), id and
        groups, citation, topic, title, force, item, number (in the row's list, or null), verdict."""
        wanted = [VERDICTS.index(verdict) for verdict in verdicts]
        batches = (findings_batch(self._run, checked, wanted) for checked in self._pass())
        return arrow().RecordBatchReader.from_batches(findings_schema(self._run), batches)

    def verdicts(self) -> Any:
        """The wide table, as a reader: row, id and groups, and a column for each rule by its topic."""
        batches = (matrix_batch(self._run, checked) for checked in self._pass())
        return arrow().RecordBatchReader.from_batches(matrix_schema(self._run), batches)

    def problems(self) -> Any:
        """All problems, as a reader: row, column, value, cause."""
        schema = problem_table([]).schema
        tables = (problem_table(list(problems_of(self._run, c))) for c in self._pass())
        batches = (batch for table in tables for batch in table.to_batches())
        return arrow().RecordBatchReader.from_batches(schema, batches)

    def missing(self) -> Any:
        """The facts that are missing, those that keep most decisions open first: fact, column (that
        tells it, with gaps; empty if none does), kind and question (how to learn it), decisions
        (undetermined verdicts that lack it), alone (that lack nothing else), clauses. Every verdict
        is counted. Two rows have no fact: what is not encoded, and figures that have no value.
        """
        return self._missing.table(self._run)

    def explain(self, rows: Iterable[int]) -> dict[int, Findings]:
        """All findings of some rows, as Book.check gives them. Raises IndexError if there is no such
        row, and GroundruleError if the row's facts can't be."""
        wanted = sorted(set(rows))
        reports = {}
        start = 0
        source = self._run.reading
        if self._spent and not source.source.repeatable:
            raise ValueError("the batches can't be read again")
        for batch in source.batches() if wanted else ():
            here = [row - start for row in wanted if start <= row < start + batch.num_rows]
            facts = source.facts(batch) if here else None
            for row in here:
                reports[start + row] = Findings(self._run.explain(facts, row))
            start += batch.num_rows
            if start > wanted[-1]:
                break
        beyond = [row for row in wanted if row not in reports]
        if beyond:
            raise IndexError(f"there is no row {beyond[0]}: rows are counted from 0 to {start - 1}")
        return reports

    def basis(self) -> dict[str, Any]:
        """What the figures rest on; goes with every report: the book and its digest, the table, the
        lists it holds whole, what is assumed, what is encoded and what is not, and the cautions."""
        described = self._run.book.describe()
        told = self._run.reading.told
        return {
            "book": described["book"],
            "table": self._run.reading.source.name,
            "item": told.item or "circuit",
            "rows": self.rows,
            "stage": self._run.stage,
            "complete": list(told.complete),
            "assumed": dict(told.assume),
            "columns_left_out": [
                name
                for name in self._run.reading.source.schema.names
                if name not in self._run.reading.schema.names
            ],
            "rules_here": len(self._run.rules),
            "rules": len(described["rules"]),
            "not_encoded": described["not_encoded"],
            "cautions": list(self._run.book.check({}).cautions),
        }

    def write_report(
        self,
        path: str | os.PathLike[str],
        title: str = "",
        impact: "Impact | None" = None,
        note: str = "",
    ) -> None:
        """Writes one HTML page with everything above, sortable and fit for print, whole or not at all.

        impact: what changes from another book, from compare_audits. note: a sentence of your own, such
        as where the table comes from. Needs matplotlib: pip install 'groundrule[plots]'.
        """
        from groundrule._report import write_page

        source = self._run.reading.source.name
        write_page(path, self, title or f"{source} against {self._run.book.name}", impact, note)

    def __repr__(self) -> str:
        total = dict(zip(VERDICTS, self._tally.total_rows().tolist(), strict=True))
        told = ", ".join(f"{count} {verdict}" for verdict, count in total.items() if count)
        return f"<Audit of {self.rows} rows by {self._run.book.name}: {told or 'none'}>"


def audit(
    book: Book,
    table: object,
    told: ColumnMap,
    stage: str | None = None,
    threads: int | None = None,
    progress: bool | None = None,
    write_findings: str | os.PathLike[str] | None = None,
) -> Audit:
    """The audit behind Book.audit, with one column map for all that is told of the table."""
    source: Source = source_of(table)
    run = Pass(book, Reading(source, told), stage, threads or threads_available(), count_missing=True)
    result = Audit(run, threads or threads_available(), progress)
    if write_findings is None:
        result._go()
        return result
    told_of = {"groundrule": json.dumps({"book": book.name, "digest": book.digest})}
    with table_written(write_findings, findings_schema(run).with_metadata(told_of)) as write:
        result._go(lambda checked: write(findings_batch(run, checked, [VIOLATES])))
    return result
