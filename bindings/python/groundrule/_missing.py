"""Which unknown fact keeps most decisions open."""

from collections import defaultdict
from collections.abc import Sequence
from typing import Any

from groundrule._pass import Checked, Pass, Rule
from groundrule._source import arrow


class Missing:
    """What the undetermined verdicts of a table lack, each of them counted. Its size is that of the
    book, not of the table."""

    def __init__(self, rules: Sequence[Rule]) -> None:
        self._citations = {rule.topic: rule.citation for rule in rules}
        self._told: dict[str, tuple[str, str]] = {}  # of a fact: kind, question
        self._decisions: dict[str, int] = defaultdict(int)
        self._alone: dict[str, int] = defaultdict(int)
        self._clauses: dict[str, set[str]] = defaultdict(set)

    def add(self, checked: Checked) -> None:
        for topic, fact, kind, question, verdicts, alone in checked.missing:
            name = fact or kind
            self._told[name] = kind, question
            self._decisions[name] += verdicts
            self._alone[name] += alone
            self._clauses[name].add(self._citations[topic])

    def table(self, run: Pass) -> Any:
        """The facts, those that keep most verdicts open first."""
        ranked = sorted(self._told, key=lambda name: (-self._decisions[name], name))
        columns = _columns_of(run)
        no_fact = {"not_encoded", "no_value"}
        return arrow().table(
            {
                "fact": ["" if name in no_fact else name for name in ranked],
                "column": [columns.get(name, "") for name in ranked],
                "kind": [self._told[name][0] for name in ranked],
                "question": [self._told[name][1] for name in ranked],
                "decisions": [self._decisions[name] for name in ranked],
                "alone": [self._alone[name] for name in ranked],
                "clauses": [sorted(self._clauses[name]) for name in ranked],
            }
        )


def _columns_of(run: Pass) -> dict[str, str]:
    """The column that tells each fact."""
    reading = run.reading
    columns = {fact: name for name, fact, _ in reading.columns}
    item = reading.told.item or "circuit"
    bare = (name for name in reading.schema.names if name not in reading.told.columns)
    return columns | {name if "." in name else f"{item}.{name}": name for name in bare}
