"""Answers beyond a verdict: why, what to find out next, what would pass, how far a fact may go."""

import json
import os
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from groundrule import _core
from groundrule._book import Book
from groundrule._documents import assumption_document, job_document

_Document = Mapping[str, object] | str | os.PathLike[str]
_Bytes = tuple[str, str | bytes]


def _documents(job: _Document, assume: _Document | None) -> tuple[_Bytes, _Bytes | None]:
    return job_document(job), None if assume is None else assumption_document(assume)


class Explanations:
    """Why findings are what they are. Made by explain; a notebook shows it as a page."""

    __slots__ = ("_html", "_json")

    def __init__(self, document: str, html: str) -> None:
        self._json = document
        self._html = html

    def to_dict(self) -> dict[str, Any]:
        """{"book": …, "explanations": [...], "not_encoded": …, "cautions": [...]}. Each explanation
        has beside its verdict the conditions and exceptions with how they came out, every value
        with its source and its arithmetic, and the steps by which a program computes it again.
        """
        explanations: dict[str, Any] = json.loads(self._json)
        return explanations

    def to_html(self) -> str:
        """A page of its own that needs nothing from elsewhere and can be printed."""
        return self._html

    def __len__(self) -> int:
        return len(self.to_dict()["explanations"])

    def _repr_html_(self) -> str:
        return self._html


def explain(
    book: Book,
    job: _Document,
    finding: str = "",
    *,
    item: str = "",
    stage: str | None = None,
    assume: _Document | None = None,
) -> Explanations:
    """Why findings of a job are what they are.

    job, stage, assume: as Book.check takes them.
    finding: a clause ("210.19(A)(1)(a)", or "210.19" for all below it) or a topic. Left out: what
        violates, or else what applies and is open.
    item: an item's path ("panels[0].circuits[0]") or its id. Left out: any.

    Raises GroundruleError as Book.check does, or if there is no such finding; OSError if a file
    can't be read. Other threads run meanwhile. Since 0.2.
    """
    documents = _documents(job, assume)
    return Explanations(*_core.explain(book._core, documents, finding, item, stage or ""))


def find_remedies(
    book: Book,
    job: _Document,
    *,
    stage: str | None = None,
    assume: _Document | None = None,
    changes: int = 3,
    most: int = 10,
    costs: Mapping[str, float] | None = None,
    open: Iterable[tuple[str, str]] = (),
) -> dict[str, Any]:
    """The least changes with which nothing of a job violates: first those that leave the fewest
    findings to be found out, and among equals the cheapest.

    changes: at most so many in one remedy. most: at most so many remedies; 0: all that were found.
    costs: what changing a fact costs, {"circuit.breaker": 5.0}; 1 where nothing is said.
    open: to size, facts that the job does not tell, each with its item's path or id ("" for the only
        one): [("run.designation", "")]. The smallest values that comply are chosen for them, and
        nothing else is changed.

    Gives {"violated": [...], "remedies": [...], "exhausted": …, "promise": …, …}; docs/answers.md
    says what is promised. Raises as explain does. Other threads run meanwhile. Since 0.2.
    """
    text = _core.remedies(
        book._core,
        _documents(job, assume),
        stage or "",
        changes,
        most,
        list((costs or {}).items()),
        list(open),
    )
    remedies: dict[str, Any] = json.loads(text)
    return remedies


def find_largest(
    book: Book,
    job: _Document,
    fact: str,
    start: str,
    stop: str,
    step: str,
    *,
    item: str = "",
    advice: bool = False,
    stage: str | None = None,
    assume: _Document | None = None,
) -> dict[str, Any]:
    """How far one fact of a job may go, over the points from start to stop by step.

    fact: such as "equipment.rated_current"; item: whose, if there are several.
    start, stop, step: values with their unit, "1 A". At most 100,000 points.
    advice: rules that only advise count too, such as those on voltage drop.

    Gives {"largest": "40 A" or None, "lawful": [{"from": …, "to": …}], …}. Raises as explain does.
    Other threads run meanwhile. Since 0.2.
    """
    text = _core.largest(
        book._core, _documents(job, assume), (fact, item), [start, stop, step], advice, stage or ""
    )
    answer: dict[str, Any] = json.loads(text)
    return answer


@dataclass(frozen=True)
class Question:
    """A question of an interview."""

    fact: str
    item: str
    kind: str
    """choice, look_up, measure, judgement or authority; list: how many items there are."""
    question: str
    unit: str
    """How a quantity may be written; empty if it has no unit."""
    choices: tuple[str, ...]
    waiting: int
    """Open findings that name the fact."""
    decides: float
    """Of these, how many an answer decides by itself, in the mean."""
    proven: bool
    """Whether an answer was found that, with others, changes an open finding; if not, it is asked
    only when nothing else is left."""


class Interview:
    """Ask, answer, ask next: what decides most comes first, and nothing is asked that could not
    change an open finding.

    job: as Book.check takes it; {} for an empty one.
    outline: first ask what kind of work it is and what is there, list by list.

    Belongs to one thread at a time. Since 0.2.
    """

    __slots__ = ("_core",)

    def __init__(
        self, book: Book, job: _Document, *, outline: bool = False, stage: str | None = None
    ) -> None:
        self._core = _core.interview(book._core, job_document(job), outline, stage or "")

    @property
    def question(self) -> Question | None:
        """What to ask now; None if nothing is left to ask."""
        asked = self._core.question()
        if asked is None:
            return None
        fact, item, kind, question, unit, choices, waiting, decides, proven = asked
        listed = tuple(choices.split("\n")) if choices else ()
        return Question(fact, item, kind, question, unit, listed, waiting, decides, proven)

    def answer(self, value: object) -> None:
        """Answers it: "50 A", "garage", True; of a list the number of items that come to those
        told, 2, or "2+" if there may be more, and with their work if it is not that of what they
        stand in, "1 existing".

        Raises GroundruleError if the answer does not fit or contradicts the job; then it is asked
        still.
        """
        text = ("yes" if value else "no") if isinstance(value, bool) else str(value)
        self._core.answer(text)

    def skip(self) -> None:
        """Leaves it open; it is not asked again."""
        self._core.skip()

    def next(self) -> dict[str, Any]:
        """All that could be asked now, for a form: {"questions": […], "apart": […], …}."""
        following: dict[str, Any] = json.loads(self._core.next())
        return following

    def job(self) -> dict[str, Any]:
        """The job with all answers."""
        job: dict[str, Any] = json.loads(self._core.job())
        return job
