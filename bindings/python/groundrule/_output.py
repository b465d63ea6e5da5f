"""Files that are written whole or not at all."""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


@contextmanager
def written_whole(path: str | os.PathLike[str]) -> Iterator[Path]:
    """Gives a path beside the wanted one, which takes its place at the end if nothing went wrong."""
    whole = Path(path)
    part = whole.with_name(f".{whole.name}.{os.getpid()}.part")
    try:
        yield part
        os.replace(part, whole)
    finally:
        part.unlink(missing_ok=True)
