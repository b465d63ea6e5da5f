"""Tables from anywhere, as batches of rows that can be read again where the source allows it."""

import itertools
import os
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

ROWS_AT_ONCE = 65_536
"""Longest batch: a few tens of megabytes with its verdicts, whatever the size of the table."""


def arrow() -> Any:
    """pyarrow, which with numpy audits need and single checks do not."""
    try:
        import numpy  # noqa: F401
        import pyarrow
    except ImportError:
        raise ImportError("audits need pyarrow and numpy: pip install 'groundrule[audit]'") from None
    return pyarrow


@dataclass(frozen=True)
class Source:
    """A table to be read in batches of at most ROWS_AT_ONCE rows.

    read: gives the batches from the first row on, with only the named columns if it is told some.
        Its second argument names columns of few words: a file that keeps them as dictionaries gives
        them so, which saves spelling each cell out.
    rows: how many there are, where that is known beforehand.
    repeatable: whether `read` can be called again.
    """

    name: str
    schema: Any
    read: Callable[[list[str] | None, Collection[str]], Iterator[Any]]
    rows: int | None = None
    repeatable: bool = True


def _parts(batches: Iterable[Any], columns: list[str] | None) -> Iterator[Any]:
    for batch in batches:
        picked = batch if columns is None else batch.select(columns)
        for start in range(0, picked.num_rows, ROWS_AT_ONCE):
            yield picked.slice(start, ROWS_AT_ONCE)


def _parquet(path: Path) -> Source:
    pa = arrow()
    import pyarrow.parquet as parquet

    def read(columns: list[str] | None, words: Collection[str]) -> Iterator[Any]:
        with parquet.ParquetFile(path, pre_buffer=False, read_dictionary=list(words)) as file:
            yield from file.iter_batches(ROWS_AT_ONCE, columns=columns)

    try:
        with parquet.ParquetFile(path) as file:
            return Source(path.name, file.schema_arrow, read, file.metadata.num_rows)
    except pa.ArrowInvalid as fault:
        raise ValueError(f"{path.name}: {fault}") from None


def _as_texts(batch: Any) -> Any:
    """Bytes that are no UTF-8 become the sign for that, which no value has: such cells are told."""
    pa = arrow()
    columns = []
    for column in batch.columns:
        try:
            columns.append(column.cast(pa.string()))
        except pa.ArrowInvalid:
            cells = (None if cell is None else cell.decode("utf-8", "replace") for cell in column.to_pylist())
            columns.append(pa.array(cells, pa.string()))
    return pa.RecordBatch.from_arrays(columns, names=batch.schema.names)


def _csv(path: Path) -> Source:
    """Every column is read as text: nothing is taken for a number that was none, and a cell that
    can't be read is told with its row instead of ending the run. A line that has not as many cells as
    the head ends it: which column lacks one nobody can tell."""
    pa = arrow()
    import pyarrow.csv as csv

    # One thread, so that a broken line is told with its number.
    one_thread = csv.ReadOptions(use_threads=False)

    def read(columns: list[str] | None, words: Collection[str]) -> Iterator[Any]:
        options = csv.ConvertOptions(
            include_columns=columns or names,
            column_types=dict.fromkeys(names, pa.binary()),
            null_values=[""],
            strings_can_be_null=True,
        )
        try:
            with csv.open_csv(path, read_options=one_thread, convert_options=options) as reader:
                yield from _parts(map(_as_texts, reader), None)
        except pa.ArrowInvalid as fault:
            raise ValueError(f"{path.name}: {fault}") from None

    try:
        with csv.open_csv(path, read_options=one_thread) as head:
            names = head.schema.names
    except pa.ArrowInvalid as fault:
        raise ValueError(f"{path.name}: {fault}") from None
    schema = pa.schema([(name, pa.string()) for name in names])
    return Source(path.name, schema, read)


def _stream(table: Any) -> Source:
    pa = arrow()
    name = type(table).__name__
    if isinstance(table, pa.RecordBatchReader):
        return Source(name, table.schema, lambda columns, _: _parts(table, columns), repeatable=False)
    with pa.RecordBatchReader.from_stream(table) as head:
        schema = head.schema

    def read(columns: list[str] | None, words: Collection[str]) -> Iterator[Any]:
        with pa.RecordBatchReader.from_stream(table) as reader:
            yield from _parts(reader, columns)

    try:
        rows = len(table)
    except TypeError:
        rows = None
    return Source(name, schema, read, rows)


def _record_batches(pieces: Iterable[Any]) -> Iterator[Any]:
    """A piece is a batch, or a small table such as a slice of a frame."""
    pa = arrow()
    for piece in pieces:
        if isinstance(piece, pa.RecordBatch):
            yield piece
        elif hasattr(piece, "__arrow_c_stream__"):
            yield from pa.RecordBatchReader.from_stream(piece)
        else:
            yield pa.record_batch(piece)


def _batches(pieces: Iterable[Any]) -> Source:
    """An iterable of batches, each with the PyCapsule protocol; the first one tells the columns."""
    repeatable = iter(pieces) is not pieces
    batches = _record_batches(pieces)
    first = next(batches, None)
    if first is None:
        raise ValueError("there are no batches, and so no columns")

    def alike(batches: Iterable[Any]) -> Iterator[Any]:
        for number, batch in enumerate(batches):
            if batch.schema.names != first.schema.names:
                told = ", ".join(batch.schema.names)
                raise ValueError(f"batch {number} has other columns than the first one: {told}")
            yield batch

    def read(columns: list[str] | None, words: Collection[str]) -> Iterator[Any]:
        if repeatable:
            return _parts(alike(_record_batches(pieces)), columns)
        return _parts(alike(itertools.chain([first], batches)), columns)

    return Source("batches", first.schema, read, repeatable=repeatable)


def source_of(table: object) -> Source:
    """What can be audited: the path of a Parquet or CSV file, anything with the Arrow PyCapsule
    protocol, or an iterable of batches that have it. Raises TypeError for what is none of these."""
    arrow()
    if isinstance(table, Source):
        return table
    if isinstance(table, (str, os.PathLike)):
        path = Path(table)
        suffixes = {suffix.lower() for suffix in path.suffixes[-2:]}
        if suffixes & {".parquet", ".pq"}:
            return _parquet(path)
        if ".csv" in suffixes:
            return _csv(path)
        raise ValueError(f"{path}: a table is a .parquet or a .csv file")
    if hasattr(table, "__arrow_c_stream__"):
        return _stream(table)
    if hasattr(table, "__arrow_c_array__"):
        return _batches([table])
    if isinstance(table, Iterable) and not isinstance(table, Mapping):
        return _batches(table)
    raise TypeError(
        f"a {type(table).__name__} is no table: it has no Arrow PyCapsule protocol"
        " (a lazy frame is collected first, a dict made a frame), and is no path and no iterable of batches"
    )
