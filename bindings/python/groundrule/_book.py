"""Opening books and checking jobs."""

import datetime
import json
import os
from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from groundrule import _core
from groundrule._documents import assumption_document, job_document, rule_text
from groundrule._findings import Findings
from groundrule._source import arrow

if TYPE_CHECKING:
    from groundrule._audit import Audit, Columns


class Book:
    """The rules that one check goes by: an edition and its amendments, in order.

    Made by open_book. Immutable, and shared by any number of threads.
    """

    __slots__ = ("_core",)

    def __init__(self, core: _core.Book) -> None:
        self._core = core

    @property
    def name(self) -> str:
        """The edition and the amendments in force, in order: "nec-2017+tia-17-2"."""
        return self._core.name

    @property
    def digest(self) -> str:
        """SHA-256 of what the book means, in hexadecimal; layout and comments do not count."""
        return self._core.digest

    def describe(self) -> dict[str, Any]:
        """What the book holds: {"book": …, "items": [...], "rules": [...], "not_encoded": [...]}.

        The "lineage" of a rule names the editions that have the same requirement, each with the number
        that it has there.
        """
        description: dict[str, Any] = json.loads(self._core.describe())
        return description

    def show(self, changes: bool = False) -> str:
        """The book whole, as one rule file that opens as the same book by its path.

        changes: instead, what each amendment changed, from what to what.
        """
        return self._core.show(changes)

    def schema(self) -> dict[str, Any]:
        """The facts of a job for this book, as a JSON Schema (draft 2020-12)."""
        schema: dict[str, Any] = json.loads(self._core.schema())
        return schema

    def check(
        self,
        job: Mapping[str, object] | str | os.PathLike[str],
        stage: str | None = None,
        assume: Mapping[str, object] | str | os.PathLike[str] | None = None,
    ) -> Findings:
        """Checks a job.

        job: a mapping, its JSON text, or the path of a JSON file. Quantities are texts with their
            unit ("50 A", "30.3 in³"), truths are True and False, dates are datetime.date or
            "2024-03-31". What is left out, or None, is unknown. Lists are taken to be open, unless
            "complete" names them.
        stage: "design", "rough_in", "trim_out" or "acceptance": only what can be seen at that
            stage. None: all stages.
        assume: values for items that do not tell the fact, {"run.ambient_temperature": "30 °C"};
            or the JSON text or the path of a file of them. Findings that rest on one say so.

        Raises GroundruleError if the job or an assumption is at fault or contradicts itself, or
        if there is no such stage; OSError if a file can't be read. Other threads run meanwhile.
        """
        assumptions = None if assume is None else assumption_document(assume)
        return Findings(self._core.check(job_document(job), assumptions, stage))

    def audit(
        self,
        table: object,
        *,
        columns: "Columns" = None,
        units: Mapping[str, str] | None = None,
        item: str = "",
        id: str = "",
        groups: Sequence[str] | Mapping[str, str] = (),
        complete: Iterable[str] = (),
        assume: Mapping[str, object] | None = None,
        stage: str | None = None,
        threads: int | None = None,
        progress: bool | None = None,
        write_findings: str | os.PathLike[str] | None = None,
    ) -> "Audit":
        """Checks every row of a table, in batches: memory does not grow with it.

        table: anything with the Arrow PyCapsule protocol (polars, pandas, pyarrow, DuckDB), the
            path of a Parquet or CSV file, or an iterable of batches.
        columns: what the columns tell: a ColumnMap, the path of its file, or {"LOC": "receptacle.location"}.
        units: of columns of numbers, {"load_a": "A"}.
        item, id, groups, complete, assume: as in ColumnMap, and before what its file says.
        stage: as in `check`.
        threads: None: as many as there are processors.
        progress: None: a bar on a terminal, nothing in a pipe.
        write_findings: a .parquet or .csv file for what is violated, written during the run, whole or
            not at all.

        Raises GroundruleError or ValueError before the first row for columns that tell nothing, are
        misspelt, or lack a unit; OSError if a file can't be read. Cells that can't be read are told
        as problems, and their rows have no verdicts. Other threads run meanwhile; Ctrl-C ends the
        run between batches. Needs pyarrow: pip install 'groundrule[audit]'. Since 0.2.

        >>> import pyarrow
        >>> table = pyarrow.table({"location": ["bedroom", "garage"], "gfci": ["none", "class_a"]})
        >>> known = {"receptacle.configuration": "5-20R", "circuit.system": "120 V, 1-phase, 2-wire"}
        >>> audit = open_book("nec-2020").audit(table, item="receptacle", assume=known)
        >>> audit.rows, audit.problem_count
        (2, 0)
        """
        arrow()
        from groundrule._audit import audit, column_map

        told = column_map(
            columns, units, item=item, id=id, groups=groups, complete=complete, assume=assume
        )
        return audit(self, table, told, stage, threads, progress, write_findings)

    def __repr__(self) -> str:
        return f"<Book {self.name}, digest {self.digest[:16]}>"


def open_book(
    name: str,
    rules: Iterable[str | os.PathLike[str]] = (),
    on: datetime.date | str | None = None,
) -> Book:
    """Opens a book by name: an edition and its amendments in order, "nec-2017+tia-17-2".

    rules: further rule files beside those that ship, as paths or as texts (a text has more than
        one line). They take part if the name asks for them: open_book("nec-2020+own", ["own.rules"]).
    on: a day, as a date or as "2021-07-01". Amendments that are not in force on it are left out, and
        describe()["book"] names them. None: all layers are in force.

    Raises GroundruleError if there is no such book or a rule text is at fault; OSError if a file
    can't be read. Opening takes a moment and other threads run meanwhile: open once, check often.
    """
    if isinstance(rules, (str, os.PathLike)):
        raise TypeError("rules is a list of paths or texts, not one of them")
    texts = [rule_text(rule, index) for index, rule in enumerate(rules)]
    return Book(_core.open_book(name, list(texts), "" if on is None else str(on)))


def shipped_editions() -> list[str]:
    """Names of the editions inside the package, in order."""
    return _core.shipped_editions()


def shipped_amendments() -> list[str]:
    """Names of the amendments inside the package, in order."""
    return _core.shipped_amendments()
