"""What changed from one book to another."""

import json
import os
from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from groundrule import _core
from groundrule._book import Book
from groundrule._documents import job_document
from groundrule._source import arrow, source_of

if TYPE_CHECKING:
    from groundrule._audit import Columns
    from groundrule._impact import Impact


class Comparison:
    """What changed from one book to another, and for which jobs. Made by compare_books.

    Belongs to one thread at a time.
    """

    __slots__ = ("_core",)

    def __init__(self, core: _core.Comparison) -> None:
        self._core = core

    @property
    def same(self) -> bool:
        """Whether the books say the same, and no job had a finding that changed."""
        return self._core.same

    def to_dict(self) -> dict[str, Any]:
        """The comparison as plain data: {"before": …, "after": …, "same": …, "rules": [...],
        "shared": [...], "not_encoded": …}, and "jobs" if there were any.
        """
        comparison: dict[str, Any] = json.loads(self._core.to_json())
        return comparison

    def to_text(self) -> str:
        """The comparison as a person reads it."""
        return self._core.to_text()

    def __str__(self) -> str:
        return self.to_text()


def compare_books(
    before: Book,
    after: Book,
    jobs: Iterable[Mapping[str, object] | str | os.PathLike[str]] = (),
) -> Comparison:
    """What changed from one book to another, requirement by requirement, matched by topic.

    jobs: jobs as Book.check takes them; each is checked against both books, and the comparison
        tells which findings change. They are called "job 1", "job 2" and so on.

    Raises GroundruleError if a job is at fault for one of the books, OSError if a file can't be
    read. Other threads run meanwhile. Since 0.2.
    """
    comparison = _core.compare(before._core, after._core)
    for number, job in enumerate(jobs, start=1):
        comparison.add_job((f"job {number}", job_document(job)[1]))
    return Comparison(comparison)


def compare_audits(
    before: Book,
    after: Book,
    table: object,
    *,
    columns: "Columns" = None,
    units: Mapping[str, str] | None = None,
    item: str = "",
    groups: Sequence[str] | Mapping[str, str] = (),
    complete: Iterable[str] = (),
    assume: Mapping[str, object] | None = None,
    stage: str | None = None,
    threads: int | None = None,
    progress: bool | None = None,
) -> "Impact":
    """Audits a table by two books at once and tells what changes. The rest is as in Book.audit.

    Rules are matched by topic, which is the same in every edition. Since 0.2.
    """
    arrow()
    from groundrule._audit import column_map
    from groundrule._impact import impact_of
    from groundrule._pass import threads_available
    from groundrule._reading import Reading

    told = column_map(columns, units, item=item, groups=groups, complete=complete, assume=assume)
    reading = Reading(source_of(table), told)
    return impact_of(before, after, reading, stage, threads or threads_available(), progress)
