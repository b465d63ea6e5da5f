"""What the columns of a table tell: the column map, and its file."""

import os
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any


@dataclass(frozen=True)
class Column:
    """What one column tells.

    fact: "receptacle.location"; empty: the column is left out.
    unit: of its numbers, and of texts that are bare numbers: "A", "ft".
    values: what its words mean, {"GAR": "garage"}; a word that is not among them stands for itself.
    dates: how its dates are written, as datetime.strptime reads them: "%m/%d/%Y".
    """

    fact: str = ""
    unit: str = ""
    values: Mapping[str, str] = field(default_factory=dict)
    dates: str = ""


@dataclass(frozen=True)
class ColumnMap:
    """How a table is to be read. Made by hand, by load, or by guess_columns for correction.

    item: what a row stands for; empty: a circuit.
    columns: by the column's name. A column that bears the name of its fact needs no entry.
    id: the column that names a row for people, such as a permit number.
    groups: columns by which results are counted, by the name that results give them:
        {"district": "DISTRICT", "year": "ISSUED:year"} (":year" takes the year of a date).
    complete: lists of which the table holds every item, such as "circuit.receptacles".
    assume: values for facts that the table does not tell, {"receptacle.work": "new"}.
    unknown: words that mean "not known" in any column.
    others: "told" (a column that tells nothing is an error) or "left_out".
    """

    item: str = ""
    columns: Mapping[str, Column] = field(default_factory=dict)
    id: str = ""
    groups: Mapping[str, str] = field(default_factory=dict)
    complete: tuple[str, ...] = ()
    assume: Mapping[str, object] = field(default_factory=dict)
    unknown: tuple[str, ...] = ()
    others: str = "told"

    @staticmethod
    def load(path: str | os.PathLike[str]) -> "ColumnMap":
        """Reads a file. Raises ValueError, with all that is wrong, or OSError."""
        try:
            return _from_document(tomllib.loads(Path(path).read_text(encoding="utf-8")))
        except ValueError as fault:
            raise ValueError(f"{os.fspath(path)}: {fault}") from None

    @staticmethod
    def parse(text: str) -> "ColumnMap":
        """The same from a text.

        >>> told = ColumnMap.parse('columns.AMPS = {fact = "circuit.breaker", unit = "A"}')
        >>> told.columns["AMPS"].unit
        'A'
        >>> ColumnMap.parse("itm = 1")
        Traceback (most recent call last):
        ValueError: itm: no such entry; there are item, columns, id, groups, complete, assume, unknown, others
        """
        return _from_document(tomllib.loads(text))

    def to_toml(self, remarks: Mapping[str, str] | None = None) -> str:
        """The file's text. remarks: a comment for a column, or for "item"."""
        return "\n".join(_lines(self, remarks or {})) + "\n"


_TYPES: dict[str, type] = {
    "item": str,
    "columns": dict,
    "id": str,
    "groups": dict,
    "complete": list,
    "assume": dict,
    "unknown": list,
    "others": str,
}
_COLUMN_TYPES: dict[str, type] = {"fact": str, "unit": str, "values": dict, "dates": str}
_NAMES: dict[type, str] = {str: "a text", dict: "a table", list: "a list of texts"}


def _faults(entries: Mapping[str, Any], types: Mapping[str, type], where: str) -> list[str]:
    faults = []
    for name, value in entries.items():
        kind = types.get(name)
        texts: list[object] = []
        if kind is list and isinstance(value, list):
            texts = value
        elif name in ("values", "groups") and isinstance(value, dict):
            texts = list(value.values())
        if kind is None:
            faults.append(f"{where}{name}: no such entry; there are {', '.join(types)}")
        elif not isinstance(value, kind):
            faults.append(f"{where}{name}: {_NAMES[kind]} is expected")
        elif not all(isinstance(entry, str) for entry in texts):
            faults.append(f"{where}{name}: texts are expected in it")
    return faults


def _from_document(document: Mapping[str, Any]) -> ColumnMap:
    faults = _faults(document, _TYPES, "")
    columns = {}
    for name, entry in document.get("columns", {}).items() if not faults else ():
        told = {"fact": entry} if isinstance(entry, str) else entry
        if not isinstance(told, dict):
            faults.append(f"columns.{name}: a fact, or a table is expected")
            continue
        wrong = _faults(told, _COLUMN_TYPES, f"columns.{name}.")
        faults += wrong
        if not wrong:
            columns[name] = Column(**told)
    if document.get("others", "told") not in ("told", "left_out"):
        faults.append('others: "told" or "left_out" is expected')
    if faults:
        raise ValueError("\n".join(faults))
    rest = {name: value for name, value in document.items() if name != "columns"}
    for name in ("complete", "unknown"):
        rest[name] = tuple(rest.get(name, ()))
    return ColumnMap(columns=columns, **rest)


def _text(value: object) -> str:
    """A TOML value: texts as basic strings, which JSON's are but for the names of escapes."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, (int, float)):
        return repr(value)
    escaped = "".join(
        "\\" + c if c in '"\\' else c if c >= " " and c != "\x7f" else f"\\u{ord(c):04X}"
        for c in str(value)
    )
    return f'"{escaped}"'


def _inline(entries: Mapping[str, object]) -> str:
    return "{" + ", ".join(f"{_text(k)} = {_text(v)}" for k, v in entries.items()) + "}"


def _column(column: Column) -> str:
    if not (column.unit or column.values or column.dates):
        return _text(column.fact)
    parts = [f"fact = {_text(column.fact)}"]
    if column.unit:
        parts.append(f"unit = {_text(column.unit)}")
    if column.dates:
        parts.append(f"dates = {_text(column.dates)}")
    if column.values:
        parts.append(f"values = {_inline(column.values)}")
    return "{" + ", ".join(parts) + "}"


def _lines(told: ColumnMap, remarks: Mapping[str, str]) -> list[str]:
    lines = []
    if told.item:
        lines += [f"# {remarks['item']}"] if "item" in remarks else []
        lines.append(f"item = {_text(told.item)}")
    if told.id:
        lines.append(f"id = {_text(told.id)}")
    for name in ("complete", "unknown"):
        listed = getattr(told, name)
        if listed:
            lines.append(f"{name} = [{', '.join(map(_text, listed))}]")
    if told.others != "told":
        lines.append(f"others = {_text(told.others)}")
    for name in ("groups", "assume"):
        entries = getattr(told, name)
        if entries:
            lines += ["", f"[{name}]"]
            lines += [f"{_text(key)} = {_text(value)}" for key, value in entries.items()]
    if told.columns:
        lines += ["", "[columns]"]
    for name, column in told.columns.items():
        if name in remarks:
            lines += [f"# {remarks[name]}"]
        lines.append(f"{_text(name)} = {_column(column)}")
    return lines
