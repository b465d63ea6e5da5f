"""A first column map for a table, from the names of its columns and what stands in them.

A guess is shown for correction and never used unseen: to_toml writes it with a remark for each column.
"""

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from typing import Any

from groundrule._book import Book
from groundrule._columns import Column, ColumnMap
from groundrule._reading import field_types
from groundrule._source import arrow, source_of

_ROWS_READ = 2_000
_LIKELY = 0.55
_LEAST_NAME = 0.6
_MOST_CODES = 60

# What the trade's clerks write for the words of facts: common practice, from no list of anybody's.
_SHORT = {
    "amps": "breaker", "amp": "breaker", "ocpd": "breaker", "loc": "location", "place": "location",
    "room": "location", "occ": "occupancy", "use": "occupancy", "tr": "tamper_resistant",
    "wr": "weather_resistant", "config": "configuration", "nema": "configuration", "volts": "voltage",
    "issued": "permit_date", "permit": "permit_date", "applied": "application_date", "moist": "moisture",
    "dist": "distance", "ht": "height", "len": "length", "qty": "number",
}  # fmt: skip
_UNITS = {
    "a": "A", "amp": "A", "amps": "A", "v": "V", "volts": "V", "va": "VA", "kva": "kVA", "w": "W",
    "kw": "kW", "ft": "ft", "feet": "ft", "in": "in", "inch": "in", "inches": "in", "mm": "mm",
    "m": "m", "f": "°F", "c": "°C", "sqft": "ft²", "hp": "hp",
}  # fmt: skip
_YES_NO = {"y": "yes", "n": "no", "yes": "yes", "no": "no", "true": "yes", "false": "no", "t": "yes",
           "f": "no", "1": "yes", "0": "no"}  # fmt: skip
_DATES = ("%Y-%m-%d", "%m/%d/%Y", "%d.%m.%Y", "%Y/%m/%d", "%Y%m%d")


@dataclass(frozen=True)
class _Guess:
    score: float
    column: Column
    because: str


def _words(name: str) -> list[str]:
    parts = re.findall(r"[A-Z]+(?![a-z])|[A-Z]?[a-z]+|\d+", name)
    return [part.lower() for part in parts]


def _name_score(words: Sequence[str], fact: str) -> float:
    """How alike a column's name and a fact's are, abbreviations spelt out, units left out."""
    full = [_SHORT.get(word, word) for word in words if not (len(words) > 1 and word in _UNITS)]
    joined = "_".join(full)
    last = fact.rpartition(".")[2]
    whole = SequenceMatcher(None, joined, last).ratio()
    longer = SequenceMatcher(None, joined, fact.replace(".", "_")).ratio()
    shared = sum(word in last.split("_") for word in full) / max(len(full), 1)
    return max(whole, longer, 0.9 * shared)


def _meaning(word: str, choices: Sequence[str]) -> str:
    """The choice that a code stands for: its beginning, its initials, or nearly its spelling."""
    plain = re.sub(r"[^a-z0-9]+", "_", word.lower()).strip("_")
    by_form = {choice: re.sub(r"[^a-z0-9]+", "_", choice.lower()).strip("_") for choice in choices}
    readings: tuple[Callable[[str], bool], ...] = (
        lambda form: form == plain,
        lambda form: bool(plain) and form.startswith(plain),
        lambda form: "".join(part[:1] for part in form.split("_")) == plain,
        lambda form: SequenceMatcher(None, form, plain).ratio() >= 0.8,
    )
    for fits in readings:
        found = [choice for choice, form in by_form.items() if fits(form)]
        if found:
            return found[0] if len(found) == 1 else ""
    return ""


def _by_choices(words: Sequence[str], choices: Sequence[str]) -> tuple[float, dict[str, str]]:
    meant = {word: _meaning(word, choices) for word in words}
    share = sum(bool(choice) for choice in meant.values()) / max(len(words), 1)
    return share, {word: choice for word, choice in meant.items() if choice and choice != word}


def _unit_of(words: Sequence[str], told: dict[str, Any]) -> str:
    """The unit that a column's name ends in, if the fact can have it."""
    offered = [unit.strip() for unit in told.get("units", "").split(",") if unit.strip()]
    for word in reversed(words):
        if _UNITS.get(word) in offered:
            return _UNITS[word]
    return ""


def _date_form(words: Sequence[str]) -> str:
    import datetime

    def reads(word: str, form: str) -> bool:
        try:
            datetime.datetime.strptime(word, form)
        except ValueError:
            return False
        return True

    for form in _DATES:
        if words and sum(reads(word, form) for word in words) >= 0.9 * len(words):
            return form
    return ""


def _guess(name: str, kind: Any, texts: list[str], fact: str, told: dict[str, Any]) -> _Guess:
    """texts: the distinct values of the first rows, in order."""
    types = arrow().types
    by_name = _name_score(_words(name), fact)
    column = Column(fact)
    content = 0.5
    if by_name < _LEAST_NAME:
        return _Guess(0.0, column, "")
    if told.get("choices"):
        if not texts or len(texts) > _MOST_CODES:
            return _Guess(0.0, column, "")
        content, values = _by_choices(texts, told["choices"])
        column = Column(fact, values=values)
    elif told["type"] == "yes_no":
        content = 1.0 if texts and all(text.lower() in _YES_NO for text in texts) else 0.0
        if not types.is_boolean(kind):
            values = {t: _YES_NO[t.lower()] for t in texts if t.lower() in _YES_NO and t not in ("yes", "no")}
            column = Column(fact, values=values)
    elif told["type"] == "date":
        form = _date_form(texts)
        content = 1.0 if types.is_temporal(kind) or form else 0.0
        plain = types.is_temporal(kind) or form == "%Y-%m-%d"
        column = Column(fact, dates="" if plain else form)
    elif told.get("units") or told["type"] == "number":
        numbers = [text for text in texts if re.match(r"[+-]?\d*\.?\d", text)]
        content = 0.8 * len(numbers) / len(texts) if texts else 0.0
        unit = _unit_of(_words(name), told)
        content += 0.2 if bool(unit) == bool(told.get("units")) else 0.0
        column = Column(fact, unit=unit)
    score = 0.6 * by_name + 0.4 * content if content else 0.0
    because = f"{score:.0%} by name ({by_name:.0%}) and content ({content:.0%})"
    unread = [text for text in texts if text not in told.get("choices", ()) and text not in column.values]
    if told.get("choices") and unread:
        because += f"; not translated: {', '.join(map(repr, unread))}; choices: {', '.join(told['choices'])}"
    return _Guess(score, column, because)


def guess_columns(book: Book, table: object, item: str = "receptacle") -> tuple[ColumnMap, dict[str, str]]:
    """A first map for a table whose rows are items of one kind, and a remark for each column.

    Looks at the first rows only. Facts of the row's item and of the items above it are tried. A column
    that nothing fits well is left out, and its remark says so. Show `map.to_toml(remarks)` to someone
    who knows the table before it is used: a guess can be wrong, and codes that nobody could read are
    not translated, so the audit tells them. Since 0.2.
    """
    items = {entry["name"]: entry for entry in book.describe()["items"]}
    if item not in items:
        raise ValueError(f"there is no item {item!r}; there are {', '.join(items)}")
    above = [item]
    while items[above[-1]].get("in"):
        above.append(items[above[-1]]["in"])
    facts = {
        fact: told
        for fact, told in field_types(book.describe()).items()
        if fact.partition(".")[0] in above
    }
    source = source_of(table)
    first = next(source.read(None, ()), None)
    if first is None:
        raise ValueError("the table has no rows to look at")
    guesses = []
    for name in source.schema.names:
        array = first.column(name).slice(0, _ROWS_READ)
        texts = sorted({str(v).strip() for v in array.to_pylist() if v is not None} - {""})
        tried = (_guess(name, array.type, texts, fact, told) for fact, told in facts.items())
        guesses += [(guess.score, name, guess) for guess in tried if guess.score >= _LIKELY]
    columns: dict[str, Column] = {}
    remarks: dict[str, str] = {"item": "What a row stands for. Everything here is a guess: correct it."}
    taken: set[str] = set()
    # Of facts that fit alike, that of the item nearest to the row goes first.
    def order(entry: tuple[float, str, _Guess]) -> tuple[float, int, str]:
        score, name, guess = entry
        return -round(score, 2), above.index(guess.column.fact.partition(".")[0]), name

    for _, name, guess in sorted(guesses, key=order):
        if name not in columns and guess.column.fact not in taken:
            columns[name] = guess.column
            remarks[name] = guess.because
            taken.add(guess.column.fact)
    for name in source.schema.names:
        if name not in columns:
            columns[name] = Column()
            remarks[name] = "nothing fits: left out"
    ordered = {name: columns[name] for name in source.schema.names}
    for name, column in ordered.items():
        if column.fact and facts[column.fact].get("units") and not column.unit:
            remarks[name] += f"; a unit is needed for bare numbers: {facts[column.fact]['units']}"
    return ColumnMap(item=item, columns=ordered), remarks
