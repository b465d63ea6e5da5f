"""Cells that can't be read and rows that contradict themselves, each with its row and column."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np

from groundrule._pass import NO_VERDICT, Checked, Pass
from groundrule._source import arrow

_ROWS_TOLD = 100
"""Of how many rows of a batch the core tells the cause."""


@dataclass(frozen=True)
class Problem:
    """row: from 0. column: empty if the row's facts contradict each other. value: as in the table."""

    row: int
    column: str
    value: str
    cause: str


def _faulty_rows(run: Pass, checked: Checked) -> Any:
    for index, rule in enumerate(run.rules):
        if not rule.on_list:
            return np.flatnonzero(checked.of(index)[0] == NO_VERDICT)
    return np.arange(checked.rows.num_rows)


def _column_of(cause: str, names: list[str]) -> str:
    """The column that a cause names: "column runs.size: …" is of the column runs. names: the longest
    first, since a name may begin with another and a point."""
    for name in names:
        if cause.startswith((f"column {name}: ", f"column {name}.")):
            return name
    return ""


def _emptied(facts: Any, cells: set[tuple[int, str]]) -> Any:
    """The batch with some cells made unknown, so that what they hid comes to light."""
    pa = arrow()
    columns = []
    for name in facts.schema.names:
        array = facts.column(name)
        rows = {row for row, column in cells if column == name}
        if rows:
            picked = [None if row in rows else row for row in range(len(array))]
            array = array.take(pa.array(picked, pa.int64()))
        columns.append(array)
    return pa.RecordBatch.from_arrays(columns, schema=facts.schema)


def problems_of(run: Pass, checked: Checked) -> Iterator[Problem]:
    """All problems of a batch, by row. The core tells one cause a row; the cell at fault is then
    taken out and the row is looked at again, until nothing is left to tell."""
    if not checked.faulty:
        return
    pa = arrow()
    faulty = _faulty_rows(run, checked)
    names = sorted(checked.facts.schema.names, key=len, reverse=True)
    for begin in range(0, len(faulty), _ROWS_TOLD):
        left = faulty[begin : begin + _ROWS_TOLD]
        told: list[Problem] = []
        facts = pa.Table.from_batches([checked.facts]).take(pa.array(left)).combine_chunks()
        facts = facts.to_batches()[0]
        while len(left):
            if not run.faulty(facts):
                break
            cells, keep = set(), []
            for row, cause in run.faults():
                column = _column_of(cause, names)
                number = int(left[row])
                value = checked.rows.column(column)[number].as_py() if column else ""
                cause = cause.removeprefix(f"column {column}: ")
                told.append(Problem(checked.start + number, column, str(value), cause))
                if column:
                    cells.add((row, column))
                    keep.append(row)
            facts = _emptied(facts, cells).take(pa.array(keep, pa.int64()))
            left = left[keep]
        yield from sorted(told, key=lambda problem: problem.row)


def problem_table(problems: list[Problem]) -> Any:
    pa = arrow()
    names = ("row", "column", "value", "cause")
    kinds = (pa.int64(), pa.string(), pa.string(), pa.string())
    columns = {
        name: pa.array([getattr(problem, name) for problem in problems], kind)
        for name, kind in zip(names, kinds, strict=True)
    }
    return pa.table(columns)
