"""One pass over a table with one book: batches of rows beside their verdicts.

The interpreter lock is free while the core works, and a pending Ctrl-C is answered between batches.
"""

import json
import os
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from groundrule import _core
from groundrule._book import Book
from groundrule._reading import Reading
from groundrule._source import arrow

VERDICTS = ("complies", "violates", "not_applicable", "undetermined", "no_verdict")
"""By the byte that the core gives."""
COMPLIES, VIOLATES, NOT_APPLICABLE, UNDETERMINED, NO_VERDICT = range(5)

Bytes = npt.NDArray[np.uint8]
Numbers = npt.NDArray[np.int64]


@dataclass(frozen=True)
class Rule:
    """A rule that has verdicts on this table. `on_list`: on each item of a list of the row's."""

    citation: str
    topic: str
    title: str
    force: str
    item: str
    on_list: bool

    @property
    def counts(self) -> bool:
        return self.force == "shall"


@dataclass(frozen=True)
class Checked:
    """A batch. start: number of its first row in the table; faulty: how many rows have no verdicts;
    missing: by rule and fact, if counted: topic, fact, kind, question, verdicts that lack the fact,
    those that lack nothing else."""

    start: int
    rows: Any
    facts: Any
    verdicts: Any
    faulty: int
    missing: Sequence[tuple[str, str, str, str, int, int]]

    def of(self, rule: int) -> tuple[Bytes, Numbers | None]:
        """The verdicts of one rule, and for a rule on list items the row of each."""
        column = self.verdicts.column(rule)
        if not hasattr(column, "offsets"):
            return np.frombuffer(column.buffers()[1], np.uint8, len(column), column.offset), None
        offsets = column.offsets.to_numpy()
        values = column.values
        flat = np.frombuffer(values.buffers()[1] or b"", np.uint8)
        flat = flat[values.offset + offsets[0] : values.offset + offsets[-1]]
        return flat, np.repeat(np.arange(len(column)), np.diff(offsets))


def threads_available() -> int:
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


class Pass:
    """A book made ready for a table. Belongs to one thread at a time.

    Raises GroundruleError, before the first row, for columns that are misspelt, have no unit, or
    whose type does not fit.
    """

    def __init__(
        self,
        book: Book,
        reading: Reading,
        stage: str | None,
        threads: int,
        count_missing: bool = False,
    ) -> None:
        self.book = book
        self.reading = reading
        self.stage = stage
        told = reading.told
        assumed = dict(told.assume)
        assumptions = json.dumps({"assume": assumed}, default=str) if assumed else ""
        self._core = _core.Audit(
            book._core,
            reading.schema.__arrow_c_schema__(),
            told.item,
            reading.columns,
            list(told.complete),
            assumptions,
            stage,
            threads,
            count_missing,
        )
        self.schema = arrow().Schema._import_from_c_capsule(self._core.schema())
        forces = {rule["topic"]: rule["force"] for rule in book.describe()["rules"]}
        self.rules = [
            Rule(
                citation=field.metadata[b"citation"].decode(),
                topic=field.name,
                title=field.metadata[b"title"].decode(),
                force=forces[field.name],
                item=field.metadata[b"item"].decode(),
                on_list=arrow().types.is_list(field.type) or arrow().types.is_large_list(field.type),
            )
            for field in self.schema
        ]

    def check(self, facts: Any) -> tuple[Any, int]:
        """Verdicts of a batch of facts, and how many rows have none."""
        _, rows = facts.__arrow_c_array__()
        verdicts, faulty = self._core.batch(rows)
        schema = self.schema.__arrow_c_schema__()
        return arrow().RecordBatch._import_from_c_capsule(schema, verdicts), faulty

    def faulty(self, facts: Any) -> int:
        """How many rows of a batch have no verdicts; `faults` then tells why."""
        _, rows = facts.__arrow_c_array__()
        return self._core.batch(rows)[1]

    def faults(self) -> Iterator[tuple[int, str]]:
        """Rows of the last batch without verdicts, the first hundred, each with its cause."""
        for line in self._core.faults().splitlines():
            row, _, cause = line.partition(" ")
            yield int(row), cause

    def checked(self, rows: Any, start: int) -> Checked:
        facts = self.reading.facts(rows)
        verdicts, faulty = self.check(facts)
        return Checked(start, rows, facts, verdicts, faulty, self._core.missing())

    def __iter__(self) -> Iterator[Checked]:
        start = 0
        for rows in self.reading.batches():
            yield self.checked(rows, start)
            start += rows.num_rows

    def explain(self, facts: Any, row: int) -> _core.Report:
        """The report on one row of a batch of facts."""
        _, rows = facts.__arrow_c_array__()
        return self._core.check_row(rows, row, self.stage)
