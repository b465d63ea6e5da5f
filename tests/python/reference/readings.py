"""Reads the second readings of tables and the described tables of a book into like shapes."""

import csv
from pathlib import Path
from typing import Any

import groundrule

TABLES = Path(__file__).resolve().parents[2] / "reference" / "tables"


def reading(name: str) -> list[dict[str, str]]:
    """Rows of a CSV of published figures; the lines that tell its sources begin with #."""
    lines = (TABLES / f"{name}.csv").read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


class Described:
    """Tables and lists of a book, as groundrule describes them."""

    def __init__(self, book: str) -> None:
        self.data: dict[str, Any] = groundrule.open_book(book).describe()

    def table(self, *names: str) -> dict[tuple[str, ...], list[str | None]]:
        """Keys to values of the table that has one of these names."""
        (table,) = [t for t in self.data["tables"] if t["name"] in names]
        return {tuple(row["keys"]): row["values"] for row in table["rows"]}

    def list(self, name: str) -> list[str]:
        (found,) = [entry["values"] for entry in self.data["lists"] if entry["name"] == name]
        values: list[str] = found
        return values
