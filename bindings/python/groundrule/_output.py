"""Files that are written whole or not at all."""

import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any


@contextmanager
def written_whole(path: str | os.PathLike[str]) -> Iterator[Path]:
    """Gives a path beside the wanted one, which takes its place at the end if nothing went wrong."""
    whole = Path(path)
    part = whole.with_name(f".{os.getpid()}.part.{whole.name}")
    try:
        yield part
        os.replace(part, whole)
    finally:
        part.unlink(missing_ok=True)


@contextmanager
def table_written(path: str | os.PathLike[str], schema: Any) -> Iterator[Callable[[Any], None]]:
    """Gives a function that takes batches, for a .parquet or a .csv file."""
    import pyarrow as pa
    import pyarrow.csv as csv
    import pyarrow.parquet as parquet

    suffix = Path(path).suffix.lower()
    if suffix not in (".parquet", ".pq", ".csv"):
        raise ValueError(f"{os.fspath(path)}: findings are written as .parquet or .csv")
    with written_whole(path) as part:
        if suffix == ".csv":
            plain = pa.schema(
                [(f.name, pa.string() if pa.types.is_dictionary(f.type) else f.type) for f in schema]
            )
            with csv.CSVWriter(part, plain) as rows:
                yield lambda batch: rows.write_table(pa.Table.from_batches([batch]).cast(plain))
        else:
            with parquet.ParquetWriter(part, schema) as file:
                yield file.write_batch
