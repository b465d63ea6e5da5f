"""How far a run is: a bar on a terminal, nothing in a pipe."""

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any


class _Silent:
    def update(self, rows: int) -> None:
        pass


@contextmanager
def progress(rows: int | None, name: str, wanted: bool | None) -> Iterator[Any]:
    """wanted: None means on a terminal only."""
    if not (sys.stderr.isatty() if wanted is None else wanted):
        yield _Silent()
        return
    from tqdm import tqdm

    with tqdm(total=rows, desc=name, unit=" rows", unit_scale=True, file=sys.stderr) as bar:
        yield bar
