"""The main job: a garage charging outlet in three editions and an interim amendment, each demanded finding by its clause.

The arithmetic is that of the clauses: 40 A x 125 % = 50 A; 3 x 3.00 + 2.50 + 4 x 3.00 + 3.00 = 26.5 in³; with 6 AWG
3 x 5.00 + 2.50 + 4 x 5.00 + 5.00 = 42.5 in³.
"""

import copy
import time
from collections.abc import Iterator
from typing import Any

import groundrule
import pytest

EDITIONS = ["nec-2017", "nec-2017+tia-17-2", "nec-2020", "nec-2023"]
BOOKS = {name: groundrule.open_book(name) for name in EDITIONS}
Job = dict[str, Any]


def circuit(job: Job) -> Job:
    found: Job = job["panels"][0]["circuits"][0]
    return found


def verdicts(book: str, job: Job) -> dict[str, str]:
    """Topic to verdict; the worst where a rule speaks of several items."""
    order = ["violates", "undetermined", "complies", "not_applicable"]
    out: dict[str, str] = {}
    for finding in BOOKS[book].check(job):
        verdict = str(finding.verdict)
        topic = finding.topic
        if topic not in out or order.index(verdict) < order.index(out[topic]):
            out[topic] = verdict
    return out


def with_six(job: Job, volume: str) -> Job:
    c = circuit(job)
    c["runs"][0]["designation"] = "6/3 NM-B"
    c["boxes"][0]["volume"] = volume
    c["boxes"][0]["entries"][0]["designation"] = "6/3 NM-B"
    c["boxes"][0]["devices"][0]["size"] = "6 AWG"
    return job


@pytest.mark.parametrize(
    ("book", "dwelling", "charging"),
    [
        ("nec-2017", "not_applicable", None),
        ("nec-2017+tia-17-2", "not_applicable", "violates"),
        ("nec-2020", "violates", "violates"),
        ("nec-2023", "violates", "violates"),
    ],
)
def test_gfci_follows_the_edition(book: str, dwelling: str, charging: str | None, garage: Job) -> None:
    told = verdicts(book, garage)
    assert told["dwelling_receptacle_gfci"] == dwelling
    assert told.get("charging_receptacle_gfci") == charging
    circuit(garage)["receptacles"][0]["gfci"] = "equipment_only"  # in the charger: no protection of the receptacle
    assert verdicts(book, garage) == told
    circuit(garage)["receptacles"][0]["gfci"] = "class_a"
    assert "violates" not in (
        verdicts(book, garage)["dwelling_receptacle_gfci"],
        verdicts(book, garage).get("charging_receptacle_gfci"),
    )


def test_a_finding_names_the_layer_that_decided(garage: Job) -> None:
    (finding,) = BOOKS["nec-2017+tia-17-2"].check(garage).filter(citation="625.54")
    assert finding.layer == "tia-17-2"


@pytest.mark.parametrize("book", ["nec-2020", "nec-2023"])
def test_hard_wired_equipment_in_the_garage_is_reached_by_neither(book: str, garage: Job) -> None:
    c = circuit(garage)
    c["receptacles"] = []
    c["equipment"][0]["connection"] = "hard_wired"
    told = verdicts(book, garage)
    assert "dwelling_receptacle_gfci" not in told and "charging_receptacle_gfci" not in told
    assert told["outdoor_equipment_gfci"] == "not_applicable"


@pytest.mark.parametrize("book", EDITIONS)
def test_what_does_not_apply_says_why(book: str, garage: Job) -> None:
    reasons = {f.topic: f.decided_by for f in BOOKS[book].check(garage) if str(f.verdict) == "not_applicable"}
    wanted = {"dwelling_afci", "tamper_resistant", "small_conductor_protection"}
    if book in ("nec-2020", "nec-2023"):
        wanted.add("outdoor_receptacle_gfci")
    assert wanted <= set(reasons)
    assert all(reasons[topic] for topic in wanted)


@pytest.mark.parametrize("book", EDITIONS)
def test_charging_receptacle_of_four_wires(book: str, garage: Job) -> None:
    told = verdicts(book, garage)
    assert told["portable_charging_connection"] == ("violates" if book == "nec-2017" else "complies")


@pytest.mark.parametrize("book", EDITIONS)
def test_the_breaker_meets_125_percent_exactly_and_the_cable_does_not(book: str, garage: Job) -> None:
    told = verdicts(book, garage)
    assert told["overcurrent_device_load"] == "complies"
    assert told["charging_overcurrent"] == "complies"
    assert told["conductor_size_before_factors"] == "violates"
    assert told["conductor_protection"] == "violates"
    (finding,) = [f for f in BOOKS[book].check(garage) if f.topic == "conductor_protection"]
    assert ("run.ampacity", "40 A") in {(v.name, v.value) for v in finding.values}
    assert told["box_volume"] == "complies"
    circuit(garage)["boxes"][0]["volume"] = "26.5 in³"
    assert verdicts(book, garage)["box_volume"] == "complies"
    circuit(garage)["boxes"][0]["volume"] = "26.4 in³"
    assert verdicts(book, garage)["box_volume"] == "violates"


@pytest.mark.parametrize("book", EDITIONS)
def test_a_larger_cable_needs_a_larger_box(book: str, garage: Job) -> None:
    told = verdicts(book, with_six(garage, "30.3 in³"))
    assert told["conductor_protection"] == told["conductor_size_before_factors"] == "complies"
    assert told["box_volume"] == "violates"
    assert verdicts(book, with_six(garage, "42.5 in³"))["box_volume"] == "complies"
    assert verdicts(book, with_six(garage, "42.4 in³"))["box_volume"] == "violates"


@pytest.mark.parametrize("book", ["nec-2017", "nec-2020", "nec-2023"])
def test_a_30_a_breaker_on_the_same_cable(book: str, garage: Job) -> None:
    c = circuit(garage)
    c["breaker"] = "30 A"
    told = verdicts(book, garage)
    assert told["single_receptacle_rating"] == "complies"
    assert told["overcurrent_device_load"] == told["charging_overcurrent"] == "violates"
    c["equipment"][0]["rated_current"] = "24 A"
    told = verdicts(book, garage)
    assert told["overcurrent_device_load"] == told["charging_overcurrent"] == "complies"
    assert told["ground_size_in_proportion"] == ("violates" if book == "nec-2017" else "undetermined")
    c["receptacles"].append(copy.deepcopy(c["receptacles"][0]) | {"id": "second"})
    told = verdicts(book, garage)
    assert told["charging_receptacle_circuit"] == "violates"
    if book != "nec-2023":  # from 2023 the table's ratings are minimums, a stated reading
        assert told["multiple_receptacle_rating"] == "violates"


@pytest.mark.parametrize("book", ["nec-2017+tia-17-2", "nec-2020", "nec-2023"])
def test_an_unknown_protection_is_asked_for(book: str, garage: Job) -> None:
    del circuit(garage)["receptacles"][0]["gfci"]
    (finding,) = BOOKS[book].check(garage).filter(citation="625.54")
    assert str(finding.verdict) == "undetermined"
    assert [m.fact for m in finding.missing] == ["receptacle.gfci"]


def removals(node: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    if isinstance(node, dict):
        for key, value in node.items():
            if key not in ("id", "note"):
                yield (*path, key)
            yield from removals(value, (*path, key))
    elif isinstance(node, list):
        for index, value in enumerate(node):
            yield (*path, index)
            yield from removals(value, (*path, index))


def without(job: Job, path: tuple[Any, ...]) -> Job:
    job = copy.deepcopy(job)
    node: Any = job
    for step in path[:-1]:
        node = node[step]
    del node[path[-1]]
    return job


def by_item(book: str, job: Job) -> dict[tuple[str, str], str]:
    """By rule and the item's own name, since removing an item moves the numbers of those behind it."""
    return {(f.topic, f.item_id or f.item): str(f.verdict) for f in BOOKS[book].check(job)}


@pytest.mark.parametrize("book", EDITIONS)
def test_nothing_complies_for_want_of_anything(book: str, garage: Job) -> None:
    """Every fact, list item and completeness mark taken away in turn; an item with its list's mark kept, too."""
    before = by_item(book, garage)
    tried = 0
    for path in removals(garage):
        tried += 1
        after = by_item(book, without(garage, path))
        for key, verdict in after.items():
            if verdict == "complies":
                assert before.get(key, "complies") not in ("violates", "undetermined"), (path, key)
    assert tried > 50


def test_speed_is_within_its_bounds(garage: Job) -> None:
    """The unit tests bound the core. Here with JSON both ways, perhaps without optimisation, and room for a busy machine."""
    begin = time.perf_counter()
    book = groundrule.open_book("nec-2023")
    assert time.perf_counter() - begin < 5
    begin = time.perf_counter()
    for _ in range(10):
        book.check(garage)
    assert (time.perf_counter() - begin) / 10 < 1
