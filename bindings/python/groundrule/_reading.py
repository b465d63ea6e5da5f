"""A table's batches as facts: words translated, bare numbers given their unit, dates read.

What can't be read stays as it is: the core then tells the cell, and nothing passes silently.
"""

import datetime
import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from groundrule._columns import Column, ColumnMap
from groundrule._source import Source, arrow

NOT_TOLD = "(not told)"
"""The group of rows whose group column is empty."""

_BARE_NUMBER = re.compile(r"[+-]?\d+(\.\d*)?|[+-]?\.\d+")
_CACHED_WORDS = 100_000


def field_types(description: Mapping[str, Any]) -> dict[str, dict[str, Any]]:
    """What a book says of each fact, by its whole name: "receptacle.location"."""
    return {
        f"{item['name']}.{told['name']}": told
        for item in description["items"]
        for told in item["fields"]
    }


@dataclass
class _Words:
    """Translates the texts of one column; each distinct text once."""

    column: Column
    unknown: frozenset[str]
    known: dict[str, str | None] = field(default_factory=dict)

    def _told(self, word: str) -> str | None:
        bare = word.strip()
        if not bare or bare in self.unknown:
            return None
        if bare in self.column.values:
            return self.column.values[bare] or None
        if self.column.dates:
            try:
                return datetime.datetime.strptime(bare, self.column.dates).date().isoformat()
            except ValueError:
                return bare
        if self.column.unit and _BARE_NUMBER.fullmatch(bare):
            return f"{bare} {self.column.unit}"
        return bare

    def translate(self, words: list[str | None]) -> list[str | None]:
        if len(self.known) > _CACHED_WORDS:
            self.known.clear()
        told: list[str | None] = []
        for word in words:
            if word is None:
                told.append(None)
                continue
            if word not in self.known:
                self.known[word] = self._told(word)
            told.append(self.known[word])
        return told


def _text_type(kind: Any) -> bool:
    types = arrow().types
    if types.is_dictionary(kind):
        return _text_type(kind.value_type)
    view = getattr(types, "is_string_view", lambda _: False)
    return bool(types.is_string(kind) or types.is_large_string(kind) or view(kind))


def _words_of(array: Any, words: _Words) -> Any:
    pa = arrow()
    if not pa.types.is_dictionary(array.type):
        array = array.cast(pa.string()).dictionary_encode()
    entries = array.dictionary.cast(pa.string()).to_pylist()
    told = pa.array(words.translate(entries), pa.string())
    return pa.DictionaryArray.from_arrays(array.indices.cast(pa.int32()), told)


def _conversion(kind: Any, column: Column, unknown: frozenset[str]) -> tuple[Any, Any]:
    """The type that the core sees, and the function from array to array; None: as it stands."""
    pa = arrow()
    types = pa.types
    if _text_type(kind) or column.values or types.is_null(kind):
        words = _Words(column, unknown)
        return pa.dictionary(pa.int32(), pa.string()), lambda array: _words_of(array, words)
    if types.is_timestamp(kind) or types.is_date64(kind):
        return pa.date32(), lambda array: array.cast(pa.date32(), safe=False)
    if types.is_decimal(kind):
        return pa.float64(), lambda array: array.cast(pa.float64())
    return kind, None


def _year(array: Any, dates: str) -> Any:
    pa = arrow()
    import pyarrow.compute as compute

    if pa.types.is_temporal(array.type):
        return compute.year(array).cast(pa.string())
    words = _Words(Column(dates=dates or "%Y-%m-%d"), frozenset())
    told = _words_of(array, words).cast(pa.string())
    matched = compute.match_substring_regex(told, r"^\d{4}-\d{2}-\d{2}")
    year = compute.utf8_slice_codeunits(told, 0, 4)
    return compute.if_else(matched, year, pa.scalar(None, pa.string()))


class Reading:
    """How the batches of one table become facts, identifiers and groups.

    Raises ValueError for entries of the map that name no column of the table.
    """

    def __init__(self, source: Source, told: ColumnMap) -> None:
        pa = arrow()
        self.source = source
        self.told = told
        names = source.schema.names
        self._check_names(names)
        unknown = frozenset(told.unknown)
        self._groups = [(label, *_group_column(how)) for label, how in told.groups.items()]
        aside = {told.id} | {column for _, column, _ in self._groups}
        self._facts: list[tuple[str, Callable[[Any], Any] | None]] = []
        fields = []
        self.columns: list[tuple[str, str, str]] = []
        for name in names:
            column = told.columns.get(name)
            if (column is None and (name in aside or told.others == "left_out")) or (
                column is not None and not column.fact
            ):
                continue
            kind, convert = _conversion(source.schema.field(name).type, column or Column(), unknown)
            self._facts.append((name, convert))
            fields.append(pa.field(name, kind))
            if column is not None:
                unit = "" if pa.types.is_dictionary(kind) else column.unit
                self.columns.append((name, column.fact, unit))
        self.schema = pa.schema(fields)
        """Of the batches that `facts` gives."""
        used = {name for name, _ in self._facts} | aside - {""}
        self._needed = [name for name in names if name in used]
        few = [name for name, _ in self._facts] + [column for _, column, _ in self._groups]
        types = {name: source.schema.field(name).type for name in few}
        self._words = [name for name, kind in types.items() if pa.types.is_string(kind)]

    def _check_names(self, names: list[str]) -> None:
        from difflib import get_close_matches

        told = self.told
        twice = sorted({name for name in names if names.count(name) > 1})
        if twice:
            raise ValueError("\n".join(f'two columns are called "{name}"' for name in twice))
        wanted = [*told.columns, *([told.id] if told.id else [])]
        wanted += [_group_column(how)[0] for how in told.groups.values()]
        faults = []
        for name in dict.fromkeys(wanted):
            if name not in names:
                near = get_close_matches(name, names, 1)
                hint = f'; did you mean "{near[0]}"?' if near else ""
                faults.append(f'column "{name}" of the map: the table has no such column{hint}')
        if faults:
            raise ValueError("\n".join(faults))

    def batches(self) -> Iterator[Any]:
        return self.source.read(self._needed, self._words)

    def facts(self, rows: Any) -> Any:
        """The batch that the core audits."""
        arrays = []
        for name, convert in self._facts:
            array = rows.column(name)
            arrays.append(array if convert is None else convert(array))
        return arrow().RecordBatch.from_arrays(arrays, schema=self.schema)

    @property
    def labels(self) -> list[str]:
        """Names of the columns that results carry beside their own: the id, then the groups."""
        return [*(["id"] if self.told.id else []), *self.told.groups]

    def label_arrays(self, rows: Any) -> list[Any]:
        """The columns for `labels`, as texts."""
        pa = arrow()
        arrays = [rows.column(self.told.id).cast(pa.string())] if self.told.id else []
        return arrays + self.group_arrays(rows)

    def group_arrays(self, rows: Any) -> list[Any]:
        pa = arrow()
        arrays = []
        for _, name, year in self._groups:
            array = rows.column(name)
            if year:
                dates = self.told.columns[name].dates if name in self.told.columns else ""
                array = _year(array, dates)
            arrays.append(array.cast(pa.string()).fill_null(NOT_TOLD))
        return arrays


def _group_column(how: str) -> tuple[str, bool]:
    """The column, and whether its year is meant."""
    return (how.removesuffix(":year"), True) if how.endswith(":year") else (how, False)
