"""Rooms, panel and circuits of a new house with faults on purpose: what each edition finds violated, and where."""

import json
from pathlib import Path
from typing import Any

import pytest

import groundrule

# What every edition finds, by item and clause.
ALWAYS = {
    ("panels[0].working_spaces[0]", "110.26(A)(2)"),
    ("rooms[0]", "210.11(C)(1)"),
    ("panels[0].circuits[4]", "210.20(A)"),
    ("rooms[0].wall_spaces[0]", "210.52(A)(1)"),
    ("panels[0].circuits[1].receptacles[0]", "210.52(B)(1)"),
    ("rooms[2].vehicle_bays[1]", "210.52(G)(1)"),
    ("rooms[2]", "210.70(A)(2)(1)"),
    ("panels[0].circuits[1]", "408.4(A)"),
    ("panels[0].circuits[4].equipment[0]", "422.10(A)"),
    ("panels[0].circuits[4].equipment[0]", "422.13"),
    ("panels[0].circuits[4].equipment[0]", "422.31(B)"),
}

# An outlet below the flat top of the island serves it in 2017; 15 square feet need two in 2020; from 2023 on it does not count.
ISLAND = {
    "nec-2017": set[tuple[str, str]](),
    "nec-2020": {("rooms[0].countertops[1]", "210.52(C)(2)(a)")},
    "nec-2023": {("rooms[0].countertops[1]", "210.52(C)(2)")},
}


@pytest.fixture
def house(root: Path) -> dict[str, Any]:
    job: dict[str, Any] = json.loads((root / "docs/examples/new-house.json").read_text(encoding="utf-8"))
    return job


def violated(book: str, job: dict[str, Any]) -> set[tuple[str, str]]:
    findings = groundrule.open_book(book).check(job).violations
    return {(f.item, f.citation) for f in findings if f.force == "shall"}


@pytest.mark.parametrize("book", sorted(ISLAND))
def test_each_edition_finds_the_faults(book: str, house: dict[str, Any]) -> None:
    assert violated(book, house) == ALWAYS | ISLAND[book]


@pytest.mark.parametrize("book", sorted(ISLAND))
def test_a_mended_house_has_none(book: str, house: dict[str, Any]) -> None:
    kitchen, _, garage = house["rooms"]
    kitchen["wall_spaces"][0]["farthest_point"] = "6 ft"
    kitchen["countertops"][1]["outlets"] = [{"mounting": "above", "height": "6 in"}] * 2
    garage["light_control"] = "wall_control"
    garage["vehicle_bays"][1] = {"receptacle": True, "receptacle_height": "4 ft"}
    panel = house["panels"][0]
    panel["working_spaces"][0]["width"] = "30 in"
    counter, heater = panel["circuits"][1], panel["circuits"][4]
    counter.update(breaker="20 A", directory_entry="specific")
    heater["breaker"] = "25 A"
    heater["equipment"][0]["disconnect_lockable"] = True
    assert violated(book, house) == set()
