"""Opening books and checking jobs."""

import datetime
import json
import os
from collections.abc import Iterable, Mapping
from typing import Any

from groundrule import _core
from groundrule._documents import assumption_document, job_document, rule_text
from groundrule._findings import Findings


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
        """What the book holds: {"book": …, "items": [...], "rules": [...], "not_encoded": [...]}."""
        description: dict[str, Any] = json.loads(self._core.describe())
        return description

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
