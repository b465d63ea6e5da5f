"""Verdicts counted by rule and by group, and what becomes of whole rows."""

from collections.abc import Sequence
from typing import Any

import numpy as np

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
    Rule,
)
from groundrule._source import arrow

MOST_GROUPS = 10_000
Key = tuple[str, ...]


def row_verdicts(rules: Sequence[Rule], checked: Checked) -> Bytes:
    """One verdict for each row over all rules that count: it violates if one is violated, else is
    undetermined if one is, else complies if one applies; none if its facts can't be."""
    size = checked.rows.num_rows
    seen = {verdict: np.zeros(size, bool) for verdict in (COMPLIES, UNDETERMINED, VIOLATES, NO_VERDICT)}
    for index, rule in enumerate(rules):
        verdicts, row_of = checked.of(index)
        for verdict, any_of_row in seen.items():
            if not rule.counts and verdict != NO_VERDICT:
                continue
            if row_of is None:
                any_of_row |= verdicts == verdict
            else:
                any_of_row[row_of[verdicts == verdict]] = True
    rows = np.full(size, NOT_APPLICABLE, np.uint8)
    for verdict, any_of_row in seen.items():
        rows[any_of_row] = verdict
    return rows


def group_codes(arrays: Sequence[Any], size: int) -> tuple[list[Key], Numbers]:
    """The groups of a batch, and the index of each row's group."""
    keys: list[Key] = [()]
    codes = np.zeros(size, np.int64)
    for array in arrays:
        encoded = array.dictionary_encode()
        words = encoded.dictionary.to_pylist()
        pairs = codes * len(words) + encoded.indices.to_numpy(zero_copy_only=False)
        if len(keys) * len(words) < 4 * size:  # counting is quicker than sorting
            used = np.flatnonzero(np.bincount(pairs))
            place = np.zeros(len(keys) * len(words), np.int64)
            place[used] = np.arange(len(used))
            codes = place[pairs]
        else:
            used, codes = np.unique(pairs, return_inverse=True)
        keys = [(*keys[pair // len(words)], words[pair % len(words)]) for pair in used.tolist()]
    return keys, codes


class Tally:
    """Counts of verdicts by group and rule, and of rows by group. Adding is all that it does, so
    tallies of parts of a table add up to that of the whole."""

    def __init__(self, rules: Sequence[Rule], labels: Sequence[str]) -> None:
        self.rules = list(rules)
        self.labels = list(labels)
        self.by_group: dict[Key, Numbers] = {}
        self.rows_by_group: dict[Key, Numbers] = {}

    def _cells(self, key: Key) -> tuple[Numbers, Numbers]:
        if key not in self.by_group:
            if len(self.by_group) == MOST_GROUPS:
                raise ValueError(
                    f"{' and '.join(self.labels)} make more than {MOST_GROUPS} groups: group by something coarser"
                )
            self.by_group[key] = np.zeros((len(self.rules), len(VERDICTS)), np.int64)
            self.rows_by_group[key] = np.zeros(len(VERDICTS), np.int64)
        return self.by_group[key], self.rows_by_group[key]

    def add(self, checked: Checked, groups: Sequence[Any]) -> None:
        """groups: the batch's group columns, in the order of `labels`."""
        keys, codes = group_codes(groups, checked.rows.num_rows)
        cells = [self._cells(key) for key in keys]
        sizes = np.bincount(codes, minlength=len(keys))
        counted = np.zeros((len(keys), len(self.rules), len(VERDICTS)), np.int64)
        for index in range(len(self.rules)):
            verdicts, row_of = checked.of(index)
            of = codes if row_of is None else codes[row_of]
            of_size = sizes if row_of is None else np.bincount(of, minlength=len(keys))
            counted[:, index] = _counted(verdicts, of, of_size)
        counted_rows = _counted(row_verdicts(self.rules, checked), codes, sizes)
        for (by_rule, by_row), of_rules, of_rows in zip(cells, counted, counted_rows, strict=True):
            by_rule += of_rules
            by_row += of_rows

    def total(self) -> Numbers:
        return sum(self.by_group.values(), np.zeros((len(self.rules), len(VERDICTS)), np.int64))

    def total_rows(self) -> Numbers:
        return sum(self.rows_by_group.values(), np.zeros(len(VERDICTS), np.int64))

    def summed(self, by: Sequence[str]) -> tuple[dict[Key, Numbers], dict[Key, Numbers]]:
        """The same by some of the labels."""
        places = [self.labels.index(label) for label in by]
        rules: dict[Key, Numbers] = {}
        rows: dict[Key, Numbers] = {}
        if not by:  # a table without rows has a sum too
            rules[()], rows[()] = self.total() * 0, self.total_rows() * 0
        for key, counts in sorted(self.by_group.items()):
            short = tuple(key[place] for place in places)
            rules[short] = rules.get(short, 0) + counts
            rows[short] = rows.get(short, 0) + self.rows_by_group[key]
        return rules, rows


def _counted(verdicts: Bytes, codes: Numbers, sizes: Numbers) -> Numbers:
    """How many verdicts of each kind a group has. Only those that differ from a usual one are looked
    up one by one: most rules have few. sizes: of the groups."""
    kinds = len(VERDICTS)
    if not len(verdicts):
        return np.zeros((len(sizes), kinds), np.int64)
    usual = np.bincount(verdicts[:: 1 + len(verdicts) // 64]).argmax()
    others = np.flatnonzero(verdicts != usual)
    cells = np.bincount(codes[others] * kinds + verdicts[others], minlength=len(sizes) * kinds)
    cells = cells.reshape(len(sizes), kinds)
    cells[:, usual] = sizes - cells.sum(axis=1)
    return cells


def rules_table(tally: Tally, by: Sequence[str]) -> Any:
    """A row for each group and rule."""
    groups, _ = tally.summed(by)
    columns: dict[str, list[Any]] = {name: [] for name in by}
    told = ("citation", "topic", "title", "force", "item")
    columns |= {name: [] for name in (*told, *VERDICTS)}
    for key, counts in groups.items():
        for rule, cells in zip(tally.rules, counts.tolist(), strict=True):
            for label, value in zip(by, key, strict=True):
                columns[label].append(value)
            for name in told:
                columns[name].append(getattr(rule, name))
            for verdict, count in zip(VERDICTS, cells, strict=True):
                columns[verdict].append(count)
    return arrow().table(columns)


def rows_table(tally: Tally, by: Sequence[str]) -> Any:
    """A row for each group: how many rows of the table came out how."""
    _, groups = tally.summed(by)
    columns: dict[str, list[Any]] = {label: [key[i] for key in groups] for i, label in enumerate(by)}
    columns["rows"] = [int(cells.sum()) for cells in groups.values()]
    for index, verdict in enumerate(VERDICTS):
        columns[verdict] = [int(cells[index]) for cells in groups.values()]
    return arrow().table(columns)
