"""The findings of a check, and selections of them."""

import json
from collections.abc import Iterable, Sequence
from typing import overload

from groundrule import _core
from groundrule._finding import Finding, Verdict, finding_from_json
from groundrule._html import table


def _is_or_below(name: str, above: str) -> bool:
    """Whether a citation or a path is that one or a part of it: 210.8(A)(2) of 210.8, not of 210.80."""
    return name.startswith(above) and not name[len(above) : len(above) + 1].isalnum()


class Selection(Sequence[Finding]):
    """Some findings of a check, ordered by citation, then by item."""

    def __init__(self, findings: Iterable[Finding], cautions: Iterable[str]) -> None:
        self._findings = tuple(findings)
        self.cautions = tuple(cautions)

    @overload
    def __getitem__(self, index: int) -> Finding: ...
    @overload
    def __getitem__(self, index: slice) -> "Selection": ...
    def __getitem__(self, index: int | slice) -> "Finding | Selection":
        if isinstance(index, slice):
            return Selection(self._findings[index], self.cautions)
        return self._findings[index]

    def __len__(self) -> int:
        return len(self._findings)

    def filter(
        self,
        *,
        verdict: Verdict | str | None = None,
        citation: str | None = None,
        topic: str | None = None,
        item: str | None = None,
    ) -> "Selection":
        """The findings that fit all that is given.

        A citation or an item stands for what is below it too: "210.8" for "210.8(A)(2)",
        "panels[0]" for its circuits. An item may be given by its path or its id.

        Raises ValueError if there is no such verdict.
        """
        wanted = None if verdict is None else Verdict(verdict)
        return Selection(
            (
                f
                for f in self._findings
                if (wanted is None or f.verdict is wanted)
                and (citation is None or _is_or_below(f.citation, citation))
                and (topic is None or f.topic == topic)
                and (item is None or f.item_id == item or _is_or_below(f.item, item))
            ),
            self.cautions,
        )

    @property
    def violations(self) -> "Selection":
        """Findings that violate a rule that counts."""
        return Selection(
            (f for f in self._findings if f.verdict is Verdict.VIOLATES and f.counts),
            self.cautions,
        )

    def _repr_html_(self) -> str:
        return table(self._findings, self.cautions)

    def __repr__(self) -> str:
        counts = {v.value: sum(f.verdict is v for f in self._findings) for v in Verdict}
        told = ", ".join(f"{n} {verdict}" for verdict, n in counts.items() if n)
        return f"<{type(self).__name__}: {told or 'none'}>"


class Findings(Selection):
    """All findings of one check, with everything that a report has to say beside them.

    not_encoded: clauses that bear on such jobs and are not written out, as (citation, text).
    cautions: sentences that every report carries.
    """

    def __init__(self, report: _core.Report) -> None:
        self._report = report
        self._json = report.to_json()
        data = json.loads(self._json)
        super().__init__(map(finding_from_json, data["findings"]), data["cautions"])
        self.book_name: str = data["book"]["name"]
        self.book_digest: str = data["book"]["digest"]
        self.not_encoded: tuple[tuple[str, str], ...] = tuple(
            (gap["citation"], gap["says"]) for gap in data["not_encoded"]
        )

    def to_json(self) -> str:
        """The whole report as JSON text, byte for byte the same for the same book and job."""
        return self._json

    def to_sarif(self) -> str:
        """The whole report as SARIF 2.1.0."""
        return self._report.to_sarif()

    def to_text(self, all: bool = False) -> str:
        """The whole report as text for people; with `all`, also what does not apply, one by one."""
        return self._report.to_text(all)

    def exit_status(self, strict: bool = False) -> int:
        """0: nothing violated, nothing open. 1: some violation. 3: nothing violated, but a rule
        known to apply is undetermined; with `strict`, any rule."""
        return self._report.exit_status(strict)

    def __str__(self) -> str:
        return self.to_text()
