"""The same audit inside Spark or Dask: the engine moves the rows, each worker checks its own.

    from groundrule.cluster import Work

    work = Work("nec-2023", ColumnMap.load("outlets.toml"))
    findings = work.findings_in_spark(spark.read.parquet("outlets/"))
    findings = work.findings_in_dask(dask.dataframe.read_parquet("outlets/"))

Each worker needs the package with its extra (pip install 'groundrule[audit]') in the same version, and
nothing else: the book is opened there by name, further rule texts travel with the work. Rows are told by
the map's `id`, since parts of a table have no common count of rows. A worker that is lost costs only time:
the engine gives its parts to another, and the same rows have the same verdicts anywhere.
"""

import functools
import itertools
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from groundrule._book import Book, open_book
from groundrule._columns import ColumnMap
from groundrule._findings_table import findings_batch, findings_schema
from groundrule._pass import VERDICTS, Checked, Pass
from groundrule._reading import Reading
from groundrule._source import arrow, source_of
from groundrule._tally import Tally, rules_table


@functools.lru_cache(maxsize=8)
def _opened(name: str, rules: tuple[str, ...], on: str | None) -> Book:
    """Once a process, however many parts it is given."""
    return open_book(name, rules, on)


@dataclass(frozen=True)
class Work:
    """An audit that can be sent to other machines: it pickles, and holds no data.

    book, rules, on: as for open_book; rules are texts here, not paths, which workers may not have.
    columns: with an `id`, which names rows in findings.
    verdicts: which ones findings tell.
    """

    book: str
    columns: ColumnMap
    rules: tuple[str, ...] = ()
    on: str | None = None
    stage: str | None = None
    verdicts: tuple[str, ...] = ("violates",)

    def __post_init__(self) -> None:
        if not self.columns.id:
            raise ValueError("parts of a table have no row numbers in common: the column map needs an id")

    def _parts(self, batches: Iterable[Any]) -> Iterator[tuple[Pass, Checked]]:
        """One thread: the engine runs as many workers as it wants processors used."""
        iterator = iter(batches)
        first = next(iterator, None)
        if first is None:
            return
        source = source_of(itertools.chain([first], iterator))
        book = _opened(self.book, self.rules, self.on)
        run = Pass(book, Reading(source, self.columns), self.stage, threads=1)
        for checked in run:
            yield run, checked

    def findings(self, batches: Iterable[Any]) -> Iterator[Any]:
        """The long findings table of some batches, as Audit.findings without row numbers."""
        wanted = [VERDICTS.index(verdict) for verdict in self.verdicts]
        for run, checked in self._parts(batches):
            yield _plain(findings_batch(run, checked, wanted))

    def counts(self, batches: Iterable[Any]) -> Iterator[Any]:
        """Counts of verdicts by group and rule: one batch, to be added up with those of other parts."""
        tally = None
        for run, checked in self._parts(batches):
            tally = tally or Tally(run.rules, list(self.columns.groups))
            tally.add(checked, run.reading.group_arrays(checked.rows))
        if tally is not None:
            yield from rules_table(tally, tally.labels).to_batches()

    def _schema(self, table: Any) -> Any:
        """Of findings, learnt from a table without rows."""
        source = source_of([arrow().RecordBatch.from_pylist([], schema=table)])
        run = Pass(_opened(self.book, self.rules, self.on), Reading(source, self.columns), self.stage, 1)
        return _plain_schema(findings_schema(run))

    def findings_in_spark(self, frame: Any) -> Any:
        """A Spark frame of findings, from a Spark frame of rows (mapInArrow)."""
        groups = "".join(f"`{name}` string, " for name in self.columns.groups)
        told = "citation string, topic string, title string, force string, item string"
        schema = f"id string, {groups}{told}, number int, verdict string"
        return frame.mapInArrow(self.findings, schema)

    def counts_in_spark(self, frame: Any) -> Any:
        """A Spark frame of verdict counts, by group and rule."""
        names = [*self.columns.groups, "citation", "topic", "title", "force", "item"]
        schema = ", ".join([f"`{n}` string" for n in names] + [f"{v} bigint" for v in VERDICTS])
        parts = frame.mapInArrow(self.counts, schema)
        summed = parts.groupBy(*names).sum(*VERDICTS)
        for verdict in VERDICTS:
            summed = summed.withColumnRenamed(f"sum({verdict})", verdict)
        return summed

    def findings_in_dask(self, frame: Any) -> Any:
        """A Dask frame of findings, from a Dask frame of rows (map_partitions)."""
        pa = arrow()
        schema = pa.Schema.from_pandas(frame._meta, preserve_index=False)
        work = functools.partial(_on_frame, self.findings, schema=schema)
        empty = self._schema(schema).empty_table().to_pandas(types_mapper=_frame_type)
        return frame.map_partitions(work, meta=empty)


def _frame_type(kind: Any) -> Any:
    import pandas

    return pandas.ArrowDtype(kind)


def _on_frame(check: Callable[[Iterable[Any]], Iterator[Any]], frame: Any, schema: Any) -> Any:
    pa = arrow()
    rows = pa.Table.from_pandas(frame, schema=schema, preserve_index=False)
    found = list(check(rows.to_batches()))
    if not found:
        found = list(check([pa.RecordBatch.from_pylist([], schema=rows.schema)]))
    return pa.Table.from_batches(found).to_pandas(types_mapper=_frame_type)


def _plain_schema(schema: Any) -> Any:
    """Without row numbers, and with texts in place of dictionaries, which engines take differently."""
    pa = arrow()
    kinds: Mapping[bool, Callable[[Any], Any]] = {True: lambda f: pa.field(f.name, pa.string()), False: lambda f: f}
    return pa.schema([kinds[pa.types.is_dictionary(f.type)](f) for f in schema if f.name != "row"])


def _plain(batch: Any) -> Any:
    schema = _plain_schema(batch.schema)
    columns = [batch.column(field.name).cast(field.type) for field in schema]
    return arrow().RecordBatch.from_arrays(columns, schema=schema)
