"""Column maps: their file, what is wrong with it, and a first guess."""

from typing import Any

import pytest

import groundrule
from groundrule import Column, ColumnMap


def test_a_map_survives_its_file(outlet_map: ColumnMap) -> None:
    assert ColumnMap.parse(outlet_map.to_toml()) == outlet_map
    odd = ColumnMap(
        columns={'a "b" \\ c\t': Column("circuit.breaker", "A", {"é\x7f": "x"}, "%d.%m.%Y"), "": Column()},
        assume={"circuit.phases": 1, "circuit.neutral": True, "run.factor": 0.8},
        complete=("circuit.runs",),
        unknown=("", "-"),
        others="left_out",
    )
    assert ColumnMap.parse(odd.to_toml({'a "b" \\ c\t': "odd"})) == odd


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("itm = 'x'", "itm: no such entry"),
        ("item = 3", "item: a text"),
        ("complete = [1]", "complete: texts"),
        ("others = 'x'", "others:"),
        ("[columns]\nA = 3", "columns.A: a fact"),
        ("[columns]\nA = {fct = 'x'}", "columns.A.fct: no such entry"),
        ("[columns]\nA = {values = {x = 1}}", "columns.A.values: texts"),
        ("item = ", "Invalid value"),
    ],
)
def test_what_is_wrong_with_a_file_is_told(text: str, told: str, tmp_path: Any) -> None:
    path = tmp_path / "map.toml"
    path.write_text(text)
    with pytest.raises(ValueError, match=told) as caught:
        ColumnMap.load(path)
    assert "map.toml" in str(caught.value)


def test_a_guess_by_name_and_content(book: groundrule.Book, outlets: Any, outlet_map: ColumnMap) -> None:
    guessed, remarks = groundrule.guess_columns(book, outlets, "receptacle")
    right = {n for n, c in outlet_map.columns.items() if guessed.columns[n].fact == c.fact}
    assert len(right) >= 12, set(outlet_map.columns) - right
    assert guessed.columns["PLACE"].values["GAR"] == "garage"
    assert "BASE" not in guessed.columns["PLACE"].values, "finished or not: nobody can tell"
    assert guessed.columns["BREAKER_A"].unit == "A" and guessed.columns["SINK_FT"].unit == "ft"
    assert guessed.columns["PERMIT"] == Column() and "left out" in remarks["PERMIT"]
    assert "a unit is needed" in remarks["HEIGHT"]
    assert "not translated: 'BASE'" in remarks["PLACE"] and "basement_finished" in remarks["PLACE"]
    assert "not translated" not in remarks["WORK"]
    text = guessed.to_toml(remarks)
    assert ColumnMap.parse(text) == guessed and "# " + remarks["PLACE"] in text


def test_what_was_guessed_wrong_is_told_by_the_audit(book: groundrule.Book, outlets: Any) -> None:
    guessed, _ = groundrule.guess_columns(book, outlets)
    audit = book.audit(outlets, columns=guessed)
    assert ("PLACE", "BASE") in {(p.column, p.value) for p in audit.first_problems}


def test_a_guess_needs_rows_and_an_item(book: groundrule.Book, outlets: Any) -> None:
    with pytest.raises(ValueError, match="no item 'outlet'"):
        groundrule.guess_columns(book, outlets, "outlet")
    with pytest.raises(ValueError, match="no rows"):
        groundrule.guess_columns(book, outlets.slice(0, 0))
