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
        for index in range(len(self.rules)):
            verdicts, row_of = checked.of(index)
            counted = _counted(verdicts, codes if row_of is None else codes[row_of], len(keys))
            for (by_rule, _), counts in zip(cells, counted, strict=True):
                by_rule[index] += counts
        counted = _counted(row_verdicts(self.rules, checked), codes, len(keys))
        for (_, by_row), counts in zip(cells, counted, strict=True):
            by_row += counts

    def total(self) -> Numbers:
        return sum(self.by_group.values(), np.zeros((len(self.rules), len(VERDICTS)), np.int64))

    def total_rows(self) -> Numbers:
        return sum(self.rows_by_group.values(), np.zeros(len(VERDICTS), np.int64))

    def summed(self, by: Sequence[str]) -> tuple[dict[Key, Numbers], dict[Key, Numbers]]:
        """The same by some of the labels."""
        places = [self.labels.index(label) for label in by]
        rules: dict[Key, Numbers] = {}
        rows: dict[Key, Numbers] = {}
        for key, counts in sorted(self.by_group.items()):
            short = tuple(key[place] for place in places)
            rules[short] = rules.get(short, 0) + counts
            rows[short] = rows.get(short, 0) + self.rows_by_group[key]
        return rules, rows


def _counted(verdicts: Bytes, codes: Numbers, groups: int) -> Numbers:
    kinds = len(VERDICTS)
    if groups == 1:
        counts = [np.count_nonzero(verdicts == verdict) for verdict in range(1, kinds)]
        return np.array([[len(verdicts) - sum(counts), *counts]])
    cells = np.bincount(codes * kinds + verdicts, minlength=groups * kinds)
    return cells.reshape(groups, kinds)


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
