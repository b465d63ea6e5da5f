"""What a book tells of itself, and one book in many threads."""

import datetime
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import groundrule
import pytest


def test_names_and_digests(book: groundrule.Book) -> None:
    amended = groundrule.open_book("nec-2017+tia-17-2")
    assert amended.name == "nec-2017+tia-17-2"
    assert len(amended.digest) == 64
    assert amended.digest != groundrule.open_book("nec-2017").digest
    assert book.digest == groundrule.open_book("nec-2020").digest
    assert book.name in repr(book)


def test_description(book: groundrule.Book) -> None:
    described = book.describe()
    assert described["book"]["name"] == "nec-2020"
    items = {item["name"]: item for item in described["items"]}
    assert {"job", "panel", "circuit", "receptacle", "run", "box"} <= items.keys()
    assert any(field["name"] == "breaker" for field in items["circuit"]["fields"])
    topics = [rule["topic"] for rule in described["rules"]]
    assert "dwelling_receptacle_gfci" in topics
    assert described["not_encoded"]
    lineage = {rule["topic"]: rule["lineage"] for rule in described["rules"]}
    assert lineage["adjusted_rating_marked"] == [
        {"edition": "nec-2020", "citation": "625.42"},
        {"edition": "nec-2023", "citation": "625.42(B)"},
    ]


def test_schema(book: groundrule.Book, garage: dict[str, Any]) -> None:
    schema = book.schema()
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert garage.keys() <= schema["properties"].keys()
    circuit = garage["panels"][0]["circuits"][0]
    assert circuit.keys() <= schema["$defs"]["circuit"]["properties"].keys()


def test_printed_whole_it_opens_as_the_same_book(tmp_path: Path) -> None:
    amended = groundrule.open_book("nec-2020+harbor-city-2025")
    whole = tmp_path / "whole.rules"
    whole.write_text(amended.show(), encoding="utf-8")
    again = groundrule.open_book(str(whole), rules=[whole])
    assert again.digest == amended.digest
    assert "limit spacing of rule 334.30" in amended.show(changes=True)


def test_what_ships() -> None:
    assert groundrule.shipped_editions() == ["nec-2017", "nec-2020", "nec-2023"]
    assert "tia-17-2" in groundrule.shipped_amendments()
    assert groundrule.__version__.count(".") == 2


def test_threads_share_a_book(book: groundrule.Book, garage: dict[str, Any]) -> None:
    alone = book.check(garage).to_json()
    with ThreadPoolExecutor(8) as pool:
        together = list(pool.map(lambda _: book.check(garage).to_json(), range(64)))
    assert set(together) == {alone}


def test_findings_outlive_their_book(garage: dict[str, Any]) -> None:
    findings = groundrule.open_book("nec-2023").check(garage)
    assert "240.4" in findings.to_text() and findings.to_sarif()


def test_a_day_decides_on_the_layers_in_force() -> None:
    name = "nec-2020+harbor-city-2025"
    before = groundrule.open_book(name, on="2025-06-30")
    after = groundrule.open_book(name, on=datetime.date(2025, 7, 1))
    assert before.digest == groundrule.open_book("nec-2020").digest
    assert after.digest == groundrule.open_book(name).digest
    assert (before.name, after.name) == ("nec-2020", name)
    left_out = before.describe()["book"]["not_in_force"]
    assert [layer["name"] for layer in left_out] == ["harbor-city-2025"]
    with pytest.raises(groundrule.GroundruleError) as refused:
        groundrule.open_book(name, on="2025-06-31")
    assert refused.value.code == "bad-date"
