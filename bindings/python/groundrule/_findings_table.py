"""Verdicts of batches as tables: the long one that a person reads, and the wide one."""

from collections.abc import Sequence
from typing import Any

import numpy as np

from groundrule._pass import VERDICTS, Checked, Pass
from groundrule._source import arrow

_TOLD = ("citation", "topic", "title", "force", "item")


def _words() -> Any:
    return arrow().dictionary(arrow().int16(), arrow().string())


def _dictionary(codes: Any, words: Sequence[str]) -> Any:
    """Of words that may repeat, such as the items of rules; a dictionary's may not."""
    pa = arrow()
    distinct = list(dict.fromkeys(words))
    places = np.array([distinct.index(word) for word in words], np.int16)
    return pa.DictionaryArray.from_arrays(pa.array(places[codes]), pa.array(distinct, pa.string()))


def findings_schema(run: Pass) -> Any:
    pa = arrow()
    labels = [(label, pa.string()) for label in run.reading.labels]
    told = [(name, _words()) for name in _TOLD]
    return pa.schema(
        [("row", pa.int64()), *labels, *told, ("number", pa.int32()), ("verdict", _words())]
    )


def findings_batch(run: Pass, checked: Checked, wanted: Sequence[int]) -> Any:
    """A row for each verdict that is wanted, by row of the table. number: which item of the row's
    list, from 0; null for rules on the row."""
    pa = arrow()
    rows, rules, numbers, verdicts = [], [], [], []
    for index in range(len(run.rules)):
        bytes_, row_of = checked.of(index)
        picked = np.flatnonzero(np.isin(bytes_, wanted))
        if not len(picked):
            continue
        at = picked if row_of is None else row_of[picked]
        rows.append(at)
        rules.append(np.full(len(picked), index, np.int64))
        numbers.append(
            np.full(len(picked), -1, np.int64)
            if row_of is None
            else picked - np.searchsorted(row_of, at)
        )
        verdicts.append(bytes_[picked])
    empty = [np.zeros(0, np.int64)]
    row, rule, number, verdict = (
        np.concatenate(parts or empty) for parts in (rows, rules, numbers, verdicts)
    )
    order = np.argsort(row, kind="stable")
    row, rule, number, verdict = row[order], rule[order], number[order], verdict[order]
    places = pa.array(row)
    columns = [pa.array(row + checked.start)]
    columns += [array.take(places) for array in run.reading.label_arrays(checked.rows)]
    columns += [_dictionary(rule, [getattr(r, name) for r in run.rules]) for name in _TOLD]
    columns.append(pa.array(number.astype(np.int32), mask=number < 0))
    columns.append(_dictionary(verdict, VERDICTS))
    return pa.RecordBatch.from_arrays(columns, schema=findings_schema(run))


def matrix_schema(run: Pass) -> Any:
    pa = arrow()
    word = pa.dictionary(pa.uint8(), pa.string())
    labels = [(label, pa.string()) for label in run.reading.labels]
    rules = [
        pa.field(r.topic, pa.list_(word) if r.on_list else word, metadata={"citation": r.citation})
        for r in run.rules
    ]
    return pa.schema([("row", pa.int64()), *labels, *rules])


def matrix_batch(run: Pass, checked: Checked) -> Any:
    """A column for each rule, named by its topic, with its verdict in words."""
    pa = arrow()
    words = pa.array(VERDICTS, pa.string())
    columns = [pa.array(np.arange(checked.rows.num_rows) + checked.start)]
    columns += run.reading.label_arrays(checked.rows)
    for column in checked.verdicts.columns:
        if not hasattr(column, "offsets"):
            columns.append(pa.DictionaryArray.from_arrays(column, words))
            continue
        values = pa.DictionaryArray.from_arrays(column.values, words)
        offsets = column.offsets.cast(pa.int32())
        columns.append(pa.ListArray.from_arrays(offsets, values))
    return pa.RecordBatch.from_arrays(columns, schema=matrix_schema(run))
