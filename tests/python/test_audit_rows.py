"""An audit says of each row what the check of that row alone says, written as a job by hand here: the
verdicts, and what the open ones lack.

GROUNDRULE_ROWS=10000 compares more rows than the 120 of an ordinary run.
"""

import math
import os
import random
from collections import Counter, defaultdict
from typing import Any

import pytest

import groundrule
from groundrule import synthetic

ROWS = int(os.environ.get("GROUNDRULE_ROWS", "120"))


def job_of(row: dict[str, Any], told: groundrule.ColumnMap) -> dict[str, Any]:
    """The row as a job document, by a second reading of the column map."""
    facts: dict[str, dict[str, Any]] = defaultdict(dict)
    for name, column in told.columns.items():
        value = row[name]
        if value is None:
            continue
        item, fact = column.fact.split(".")
        if isinstance(value, str):
            value = column.values.get(value, value)
            value = {"yes": True, "no": False}.get(value, value)
            if column.unit and value.replace(".", "").isdigit():
                value = f"{value} {column.unit}"
        elif column.unit:
            value = f"{value} {column.unit}"
        facts[item][fact] = value
    circuit = {**facts["circuit"], "receptacles": [facts["receptacle"]]}
    return {**facts["job"], "panels": [{**facts["panel"], "circuits": [circuit]}]}


def readable(row: dict[str, Any]) -> bool:
    """Whether a job document can say the row's numbers at all: JSON has no NaN."""
    return row["SINK_FT"] is None or math.isfinite(row["SINK_FT"])


@pytest.mark.parametrize("name", ["nec-2017", "nec-2023"])
def test_row_for_row(name: str, outlet_map: groundrule.ColumnMap) -> None:
    book = groundrule.open_book(name)
    outlets = synthetic.table(max(3_000, 5 * ROWS), seed=7, dirty=0.004)
    audit = book.audit(outlets, columns=outlet_map)
    wide = audit.verdicts().read_all()
    topics = {rule["topic"]: rule["item"] for rule in audit.counts().to_pylist()}
    alone = 0
    rows = outlets.to_pylist()
    sample = random.Random(5).sample(range(len(rows)), ROWS)
    lacking: Counter[str] = Counter()
    lacking_alone: Counter[str] = Counter()
    for number in sample:
        verdicts = wide.slice(number, 1).to_pylist()[0]
        if not readable(rows[number]):
            assert {verdicts[topic] for topic in topics} == {"no_verdict"}
            continue
        try:
            findings = book.check(job_of(rows[number], outlet_map), assume=dict(outlet_map.assume))
        except groundrule.GroundruleError:
            assert {verdicts[topic] for topic in topics} == {"no_verdict"}
            alone += 1
            continue
        told = {f.topic: f.verdict.value for f in findings}
        assert {topic: told[topic] for topic in topics} == {t: verdicts[t] for t in topics}, number
        for finding in findings:
            lacks = {m.fact or m.kind for m in finding.missing} if finding.topic in topics else set()
            lacking.update(lacks)
            lacking_alone.update(lacks if len(lacks) == 1 else ())
    assert alone > 0, "rows that contradict themselves are among those compared"
    missing = book.audit(outlets.take(sample), columns=outlet_map).missing().to_pylist()
    assert {m["fact"] or m["kind"]: m["decisions"] for m in missing} == lacking
    assert {m["fact"] or m["kind"]: m["alone"] for m in missing if m["alone"]} == lacking_alone
