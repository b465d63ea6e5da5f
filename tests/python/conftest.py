"""What several tests use: the shipped example, and one book opened once."""

import json
from pathlib import Path
from typing import Any

import pytest

import groundrule

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="session")
def root() -> Path:
    return ROOT


@pytest.fixture(scope="session")
def book() -> groundrule.Book:
    return groundrule.open_book("nec-2020")


@pytest.fixture
def garage(root: Path) -> dict[str, Any]:
    """The shipped example, afresh for each test."""
    text = (root / "docs/examples/garage-outlet.json").read_text(encoding="utf-8")
    job: dict[str, Any] = json.loads(text)
    return job


@pytest.fixture(scope="session")
def outlets() -> Any:
    """An invented inventory with gaps and wrong cells, as a pyarrow.Table."""
    from groundrule import synthetic

    return synthetic.table(3_000, seed=7, missing=0.05, dirty=0.004)


@pytest.fixture(scope="session")
def outlet_map() -> groundrule.ColumnMap:
    from groundrule import synthetic

    return groundrule.ColumnMap.parse(synthetic.COLUMN_MAP)
