"""How firmly the tests of a book hold its rules."""

import json
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from groundrule import _core
from groundrule._book import Book


@dataclass(frozen=True, slots=True)
class Survivor:
    """A change that no test notices: `before` read as `after`, at a place of a rule file.

    line and column count from 1; `subject` is what is changed ("rule 210.8(A) (…)",
    "table 310.16"), `kind` how ("limit", "comparison", "table cell", …).
    """

    file: str
    line: int
    column: int
    subject: str
    kind: str
    before: str
    after: str

    def __str__(self) -> str:
        place = f"{self.file}:{self.line}:{self.column}"
        return f"{place}: {self.subject}: {self.kind}: {self.before} -> {self.after}"


class Mutation:
    """What became of the mutants of a book. Made by mutate; belongs to one thread at a time."""

    __slots__ = ("_core",)

    def __init__(self, core: _core.Mutation) -> None:
        self._core = core

    @property
    def mutants(self) -> int:
        """How many changes were tried."""
        return self._core.mutants

    @property
    def killed(self) -> int:
        """How many of them some test noticed."""
        return self._core.killed

    @property
    def survivors(self) -> list[Survivor]:
        """The others, in the order of their places."""
        return [
            Survivor(
                file=s["file"],
                line=s["line"],
                column=s["column"],
                subject=s["in"],
                kind=s["kind"],
                before=s["from"],
                after=s["to"],
            )
            for s in self.to_dict()["survivors"]
        ]

    def to_dict(self) -> dict[str, Any]:
        """As plain data: {"book": …, "mutants": …, "killed": …, "survivors": [...]}."""
        mutation: dict[str, Any] = json.loads(self._core.to_json())
        return mutation

    def to_text(self) -> str:
        """As a person reads it: a line for each survivor, and the counts."""
        return self._core.to_text()

    def __str__(self) -> str:
        return self.to_text()


def mutate(
    book: Book,
    file: str = "",
    threads: int = 1,
    progress: Callable[[int, int], object] | None = None,
) -> Mutation:
    """Changes the rules of a book a little, one place at a time, and runs their tests on each change.

    file: changes only what stands in the rule file of this name; without it, whatever the book's
        topmost layer says, or all of an edition alone.
    threads: how many to use; they change nothing but the time.
    progress: called ten times a second with the number of rules whose tests are through and the
        number of all. What it raises ends the work and is raised here, as a Ctrl-C is.

    Raises GroundruleError if the book has no such file, or if a test fails without any change.
    Other threads run meanwhile. Since 0.2.
    """
    return Mutation(_core.mutate(book._core, file, threads, progress))
