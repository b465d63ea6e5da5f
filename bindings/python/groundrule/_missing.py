"""Which unknown fact keeps most decisions open.

Why a verdict is open takes the explanation of its row, which is too slow for millions. So each rule
keeps a sample of the rows where it is undetermined: those whose hashed number is smallest. That is
drawn evenly from all of them, is the same in every run, needs one pass, and rows serve several rules.
"""

import json
from collections import defaultdict
from typing import Any

import numpy as np
import numpy.typing as npt

from groundrule._pass import UNDETERMINED, Checked, Pass
from groundrule._source import arrow

SAMPLE = 30
"""Rows explained for each rule. A share of a half is then told within 18 percent points, 19 times in 20."""

Hashes = npt.NDArray[np.uint64]


def row_hashes(start: int, count: int) -> Hashes:
    """splitmix64 of the row numbers (Steele, Lea, Flood 2014)."""
    with np.errstate(over="ignore"):
        x = np.arange(start + 1, start + 1 + count, dtype=np.uint64) * np.uint64(0x9E3779B97F4A7C15)
        x = (x ^ (x >> np.uint64(30))) * np.uint64(0xBF58476D1CE4E5B9)
        x = (x ^ (x >> np.uint64(27))) * np.uint64(0x94D049BB133111EB)
        return x ^ (x >> np.uint64(31))


class Sample:
    """For each rule, rows where it is undetermined."""

    def __init__(self, rules: int) -> None:
        self._rows: list[dict[int, int]] = [{} for _ in range(rules)]  # row number to its hash
        self._below = [1 << 64] * rules
        self.facts: dict[int, Any] = {}

    def add(self, checked: Checked) -> None:
        hashes = row_hashes(checked.start, checked.rows.num_rows)
        for rule, held in enumerate(self._rows):
            verdicts, row_of = checked.of(rule)
            open_rows = np.flatnonzero(verdicts == UNDETERMINED)
            if row_of is not None:
                open_rows = np.unique(row_of[open_rows])
            if self._below[rule] < 1 << 64:
                open_rows = open_rows[hashes[open_rows] < np.uint64(self._below[rule])]
            if len(open_rows) > SAMPLE:
                open_rows = open_rows[np.argpartition(hashes[open_rows], SAMPLE)[:SAMPLE]]
            for row in open_rows.tolist():
                held[checked.start + row] = int(hashes[row])
            if len(held) > SAMPLE:
                kept = sorted(held, key=held.__getitem__)[:SAMPLE]
                self._rows[rule] = {row: held[row] for row in kept}
            if len(self._rows[rule]) == SAMPLE:
                self._below[rule] = max(self._rows[rule].values())
        self._keep_facts(checked)

    def _keep_facts(self, checked: Checked) -> None:
        used = set().union(*self._rows)
        self.facts = {row: facts for row, facts in self.facts.items() if row in used}
        new = sorted(used - self.facts.keys())
        if new:
            table = arrow().Table.from_batches([checked.facts])
            places = [row - checked.start for row in new]
            picked = table.take(places).combine_chunks().to_batches()[0]
            self.facts |= {row: picked.slice(i, 1) for i, row in enumerate(new)}

    def rows_of(self, rule: int) -> set[int]:
        return set(self._rows[rule])


def missing_table(run: Pass, sample: Sample, undetermined: list[int], rows: int) -> Any:
    """The facts that are missing, those that keep most verdicts open first.

    undetermined: how many verdicts of each rule are, exactly. A rule's count is shared out as its
    sampled rows tell; a verdict that lacks several facts counts for each of them. `exact`: no share
    was estimated, since the table is no longer than a sample.
    """
    by_topic = {rule.topic: index for index, rule in enumerate(run.rules)}
    open_facts: list[list[list[dict[str, Any]]]] = [[] for _ in run.rules]
    for row in sorted(sample.facts):
        report = json.loads(run.explain(sample.facts[row], 0).to_json())
        for finding in report["findings"]:
            index = by_topic.get(finding["rule"])
            if index is None or finding["verdict"] != "undetermined" or row not in sample.rows_of(index):
                continue
            open_facts[index].append(finding["missing"])
    decisions: dict[str, float] = defaultdict(float)
    alone: dict[str, float] = defaultdict(float)
    rules: dict[str, set[str]] = {}
    told: dict[str, dict[str, Any]] = {}
    for index, seen in enumerate(open_facts):
        for missing in seen:
            facts = {entry["fact"]: entry for entry in missing}
            told |= facts
            for fact in facts:
                decisions[fact] += undetermined[index] / len(seen)
                alone[fact] += undetermined[index] / len(seen) if len(facts) == 1 else 0
                rules.setdefault(fact, set()).add(run.rules[index].citation)
    columns = {fact: name for name, fact, _ in run.reading.columns}
    item = run.reading.told.item or "circuit"
    columns |= {
        name if "." in name else f"{item}.{name}": name
        for name in run.reading.schema.names
        if name not in run.reading.told.columns
    }
    ranked = [fact for fact, _ in sorted(decisions.items(), key=lambda pair: (-pair[1], pair[0]))]
    return arrow().table(
        {
            "fact": ranked,
            "column": [columns.get(fact, "") for fact in ranked],
            "kind": [told[fact]["kind"] for fact in ranked],
            "question": [told[fact]["question"] for fact in ranked],
            "decisions": [round(decisions[fact]) for fact in ranked],
            "alone": [round(alone[fact]) for fact in ranked],
            "clauses": [sorted(rules[fact]) for fact in ranked],
            "exact": [rows <= SAMPLE] * len(ranked),
        }
    )
