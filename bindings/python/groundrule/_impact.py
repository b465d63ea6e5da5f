"""Two books on the same table: what would newly fail, where, and by which clause."""

import os
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from groundrule._book import Book
from groundrule._pass import (
    COMPLIES,
    NO_VERDICT,
    NOT_APPLICABLE,
    UNDETERMINED,
    VERDICTS,
    VIOLATES,
    Bytes,
    Checked,
    Numbers,
    Pass,
    Rule,
)
from groundrule._progress import progress as progress_of
from groundrule._reading import Reading
from groundrule._source import arrow
from groundrule._tally import MOST_GROUPS, Key, group_codes, row_verdicts

CHANGES = ("newly_failing", "newly_passing", "newly_undetermined", "newly_settled")
"""newly_failing: violates after, and did not before (an open verdict that turns out violated counts).
newly_passing: violated before, complies or is out of scope after. newly_undetermined: was decided,
is open. newly_settled: was open, complies or is out of scope."""

_KINDS = len(VERDICTS)


def _changes(moves: Numbers) -> list[int]:
    """From a matrix [before, after] of counts to the four changes."""
    passing = [COMPLIES, NOT_APPLICABLE]
    failing = moves[[COMPLIES, NOT_APPLICABLE, UNDETERMINED], VIOLATES].sum()
    passed = moves[VIOLATES, passing].sum()
    opened = moves[[COMPLIES, NOT_APPLICABLE, VIOLATES], UNDETERMINED].sum()
    settled = moves[UNDETERMINED, passing].sum()
    return [int(failing), int(passed), int(opened), int(settled)]


class Impact:
    """What changes for the rows of a table from one book to another. Made by compare_audits.

    moves: for each group and each rule, by topic, how many verdicts went from which to which. A rule
    that only one book has is out of scope in the other.
    """

    def __init__(self, before: Pass, after: Pass) -> None:
        self.before = before
        self.after = after
        self.labels = list(before.reading.told.groups)
        topics = dict.fromkeys([r.topic for r in after.rules] + [r.topic for r in before.rules])
        self._before = {rule.topic: (i, rule) for i, rule in enumerate(before.rules)}
        self._after = {rule.topic: (i, rule) for i, rule in enumerate(after.rules)}
        self.topics = list(topics)
        self.moves: dict[Key, Numbers] = {}
        self.row_moves: dict[Key, Numbers] = {}

    def _rule(self, topic: str) -> Rule:
        return (self._after.get(topic) or self._before[topic])[1]

    def _of(self, place: tuple[int, Rule] | None, checked: Checked, like: Any) -> Bytes:
        if place is not None:
            return checked.of(place[0])[0]
        return np.where(like == NO_VERDICT, NO_VERDICT, NOT_APPLICABLE).astype(np.uint8)

    def add(self, before: Checked, after: Checked) -> None:
        size = before.rows.num_rows
        keys, codes = group_codes(self.before.reading.group_arrays(before.rows), size)
        for key in keys:
            if key not in self.moves:
                if len(self.moves) == MOST_GROUPS:
                    raise ValueError(f"more than {MOST_GROUPS} groups: group by something coarser")
                self.moves[key] = np.zeros((len(self.topics), _KINDS, _KINDS), np.int64)
                self.row_moves[key] = np.zeros((_KINDS, _KINDS), np.int64)
        for index, topic in enumerate(self.topics):
            was, will = self._before.get(topic), self._after.get(topic)
            new, row_of = after.of(will[0]) if will else before.of(was[0])  # type: ignore[index]
            old = self._of(was, before, new)
            new = self._of(will, after, old)
            groups = codes if row_of is None else codes[row_of]
            if len(old) != len(new):
                raise ValueError(f"{topic} is about other items in the two books")
            for key, moves in zip(keys, _moves(old, new, groups, len(keys)), strict=True):
                self.moves[key][index] += moves
        old, new = row_verdicts(self.before.rules, before), row_verdicts(self.after.rules, after)
        for key, moves in zip(keys, _moves(old, new, codes, len(keys)), strict=True):
            self.row_moves[key] += moves

    def _summed(self, moves: Mapping[Key, Numbers], by: Sequence[str]) -> dict[Key, Numbers]:
        places = [self.labels.index(label) for label in by]
        summed: dict[Key, Numbers] = {}
        for key, cells in sorted(moves.items()):
            short = tuple(key[place] for place in places)
            summed[short] = summed.get(short, 0) + cells
        return summed

    def by_clause(self, by: str | Sequence[str] = (), unchanged: bool = False) -> Any:
        """A table with a row for each group and rule whose verdicts change: citation, topic, title,
        force, then newly_failing, newly_passing, newly_undetermined, newly_settled."""
        labels = [by] if isinstance(by, str) else list(by)
        columns: dict[str, list[Any]] = defaultdict(list)
        names = [*labels, "citation", "topic", "title", "force", *CHANGES]
        for key, cells in self._summed(self.moves, labels).items():
            for topic, moves in zip(self.topics, cells, strict=True):
                changes = _changes(moves)
                if not any(changes) and not unchanged:
                    continue
                rule = self._rule(topic)
                row = [*key, rule.citation, topic, rule.title, rule.force, *changes]
                for name, value in zip(names, row, strict=True):
                    columns[name].append(value)
        table = {name: arrow().array(columns[name], _kind(name)) for name in names}
        return arrow().table(table)

    def by_row(self, by: str | Sequence[str] = ()) -> Any:
        """The same for whole rows of the table, over all rules that count (of force "shall"): how
        many rows fail under either book, and how many change. A row for each group."""
        labels = [by] if isinstance(by, str) else list(by)
        names = [*labels, "rows", "fail_before", "fail_after", *CHANGES]
        columns: dict[str, list[Any]] = defaultdict(list)
        # A table without rows has a sum too.
        nothing = {} if labels else {(): np.zeros((_KINDS, _KINDS), np.int64)}
        for key, moves in (self._summed(self.row_moves, labels) or nothing).items():
            fails = [int(moves[VIOLATES].sum()), int(moves[:, VIOLATES].sum())]
            for name, value in zip(names, [*key, int(moves.sum()), *fails, *_changes(moves)], strict=True):
                columns[name].append(value)
        return arrow().table({name: arrow().array(columns[name], _kind(name)) for name in names})

    def __repr__(self) -> str:
        (total,) = self.by_row().to_pylist()
        told = ", ".join(f"{total[name]} {name.replace('_', ' ')}" for name in CHANGES)
        books = f"from {self.before.book.name} to {self.after.book.name}"
        return f"<Impact {books} on {total['rows']} rows: {told}>"


def _kind(name: str) -> Any:
    counted = (*CHANGES, "rows", "fail_before", "fail_after")
    return arrow().int64() if name in counted else arrow().string()


def _moves(old: Bytes, new: Bytes, groups: Numbers, count: int) -> Numbers:
    size = _KINDS * _KINDS
    changed = np.bincount((groups * _KINDS + old) * _KINDS + new, minlength=count * size)
    return changed.reshape(count, _KINDS, _KINDS)


def impact_of(
    before: Book,
    after: Book,
    reading: Reading,
    stage: str | None = None,
    threads: int = 1,
    progress: bool | None = None,
    title: str = "",
) -> Impact:
    first, second = (Pass(book, reading, stage, threads) for book in (before, after))
    impact = Impact(first, second)
    name = title or f"{before.name} to {after.name}"
    with progress_of(reading.source.rows, os.fspath(name), progress) as bar:
        for was in first:
            verdicts, faulty = second.check(was.facts)
            impact.add(was, replace(was, verdicts=verdicts, faulty=faulty))
            bar.update(was.rows.num_rows)
    return impact
