"""Which book applies at a place."""

import datetime
import json
import os
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from groundrule import _core
from groundrule._documents import job_document, rule_text

Outcome = Literal["one_book", "choice", "asks", "handed_over", "no_period"]


@dataclass(frozen=True, slots=True)
class Period:
    """A period that is in force for a job, or may be once the missing facts are known."""

    name: str
    title: str
    book: str | None
    """The book to open; None if the work is handed over."""
    handed_over: str | None
    """To which other code."""
    by: str
    """The fact of the job that decides, such as "permit_date"."""
    on: str | None
    """Its date, for which the book is to be opened; None if nobody told it."""
    in_force: bool


@dataclass(frozen=True, slots=True)
class Answer:
    """What a timeline answers for one job.

    outcome: "one_book"; "choice" (a declared overlap: the applicant chooses among the periods);
        "asks" (what is missing decides); "handed_over" (to another code, no book here covers the
        work); "no_period" (before the timeline begins, or behind its end).
    missing: facts to find out, each {"fact", "item", "kind", "question", "choices"…}.
    """

    outcome: Outcome
    periods: tuple[Period, ...]
    missing: tuple[dict[str, Any], ...]

    @property
    def book(self) -> str | None:
        """The name of the one book that applies; None if there is not one."""
        return self.periods[0].book if self.outcome == "one_book" else None

    @property
    def on(self) -> str | None:
        """The day for which that book is to be opened: open_book(answer.book, on=answer.on)."""
        return self.periods[0].on if self.outcome == "one_book" else None


class Adoption:
    """A place's timeline of books. Made by open_adoption; shared by any number of threads."""

    __slots__ = ("_core",)

    def __init__(self, core: _core.Adoption) -> None:
        self._core = core

    def timeline(self) -> dict[str, Any]:
        """{"place": …, "title": …, "authority": …, "periods": [...]}, by first day."""
        timeline: dict[str, Any] = json.loads(self._core.timeline())
        return timeline

    def find(
        self,
        job: Mapping[str, object] | str | os.PathLike[str] | None = None,
        on: str | datetime.date | None = None,
        choose: str = "",
    ) -> Answer:
        """Which book applies to a job.

        job: as Book.check takes it; None: nothing is told of the job.
        on: the day that stands for each deciding date that the job does not tell.
        choose: the name of one of several periods in force.

        Nothing is guessed: what the job does not tell is asked for. Raises GroundruleError if the
        job is at fault, the day contradicts it, or the choice is none.
        """
        document = job_document({} if job is None else job)
        day = on.isoformat() if isinstance(on, datetime.date) else on or ""
        found = json.loads(self._core.find(document, day, choose))
        return Answer(
            outcome=found["outcome"],
            periods=tuple(Period(**period) for period in found["periods"]),
            missing=tuple(found["missing"]),
        )


def open_adoption(place: str, rules: Iterable[str | os.PathLike[str]] = ()) -> Adoption:
    """Opens the adoption of a place, which ships or is among the files.

    rules: paths or texts of rule files, as for open_book.

    Raises GroundruleError if there is no such place or the text is at fault: holes and overlaps
    that are not declared are faults. Since 0.2.
    """
    if isinstance(rules, (str, os.PathLike)):
        raise TypeError("rules is a list of paths or texts, not one of them")
    texts = [rule_text(rule, index) for index, rule in enumerate(rules)]
    return Adoption(_core.open_adoption(place, list(texts)))


def shipped_adoptions() -> list[str]:
    """Names of the places whose adoption is inside the package, in order."""
    return _core.shipped_adoptions()
