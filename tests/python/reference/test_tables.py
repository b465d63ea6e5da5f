"""Every encoded figure against a second reading from published copies.

The readings in tests/reference/tables were made without sight of the rule files; each file names its published sources, the conflicts
between them and what is from memory. Where a reading rests on memory alone, it does not judge: see the sets named here.
"""

import math

import pytest

from .readings import Described, reading

EDITIONS = ["2017", "2020", "2023"]


@pytest.fixture(params=EDITIONS)
def edition(request: pytest.FixtureRequest) -> str:
    year: str = request.param
    return year


@pytest.fixture
def described(edition: str) -> Described:
    return Described(f"nec-{edition}")


def test_ampacities_equal_the_published_table(described: Described) -> None:
    table = described.table("310.16", "310.15(B)(16)")
    published = {
        (row["size"], row["material"], f"{rating} °C"): f"{row[f'temp_{rating}c_a']} A"
        for row in reading("ampacity")
        for rating in (60, 75, 90)
        if row[f"temp_{rating}c_a"] and row["size"] not in ("18 AWG", "16 AWG")
    }
    assert {key: values[0] for key, values in table.items()} == published


def test_ambient_factors_equal_the_published_table(described: Described) -> None:
    table = described.table("310.15(B)(1)", "310.15(B)(1)(1)", "310.15(B)(2)(a)")
    published = {
        (f"{row['ambient_max_c']} °C", f"{rating} °C"): float(row[f"factor_{rating}c"])
        for row in reading("ambient_correction")
        for rating in (60, 75, 90)
        if row[f"factor_{rating}c"]
    }
    assert {key: float(values[0] or 0) for key, values in table.items()} == published


def test_adjustment_factors_equal_the_published_table(described: Described) -> None:
    table = described.table("310.15(C)(1)", "310.15(B)(3)(a)")
    published = {(row["conductors_min"],): float(row["percent"]) / 100 for row in reading("adjustment")}
    published[("1",)] = 1.0  # up to three conductors: the ampacity table itself
    assert {key: float(values[0] or 0) for key, values in table.items()} == published


def test_standard_ratings_equal_the_published_list(described: Described, edition: str) -> None:
    published = sorted(
        float(row["rating_a"])
        for row in reading("standard_ratings")
        if row[f"breaker_{edition}"] == "yes"
    )
    assert [float(value.removesuffix(" A")) for value in described.list("240.6(A)")] == published


def test_grounding_conductors_equal_the_published_table(described: Described, edition: str) -> None:
    table = described.table("250.122")
    published = {}
    for row in reading("egc"):
        device = f"{row['ocpd_not_exceeding_a']} A"
        published[(device, "copper")] = row["copper_size"]
        published[(device, "aluminum")] = row[f"aluminum_size_{edition}"]
    for key, values in table.items():
        assert values[0] == published[key], key
    # Of aluminum above 4000 A published copies differ, so the table ends there for it.
    left_out = {key for key in published if key not in table}
    assert left_out == {("5000 A", "aluminum"), ("6000 A", "aluminum")}


def test_box_volumes_equal_the_published_table(described: Described) -> None:
    table = described.table("314.16(A)")
    published = sorted(float(row["min_volume_in3"]) for row in reading("box_volume"))
    encoded = sorted(float((values[0] or "").removesuffix(" in³")) for values in table.values())
    assert encoded == published


def test_conductor_allowances_equal_the_published_table(described: Described) -> None:
    table = described.table("314.16(B)", "314.16(B)(1)")
    published = {(row["size"],): float(row["volume_in3"]) for row in reading("conductor_volume")}
    assert {key: float((v[0] or "").removesuffix(" in³")) for key, v in table.items()} == published


def test_circular_mils_equal_the_published_table(described: Described) -> None:
    table = described.table("Chapter 9 Table 8")
    published = {(row["size"],): float(row["circular_mils"]) for row in reading("conductor_properties")}
    for key, mils in published.items():
        assert float((table[key][0] or "").removesuffix(" cmil")) == mils, key


def test_blade_configurations_equal_the_published_families(described: Described) -> None:
    table = described.table("NEMA WD 6")
    published = {row["designation"]: row for row in reading("configurations")}
    for (name,), (voltage, poles, wires, current) in table.items():
        row = published[name.removesuffix("R")]
        highest = row["rated_voltage_as_printed_v"].split("/")[-1]
        assert (voltage, poles, wires, current) == (
            f"{highest} V",
            row["poles"],
            row["wires"],
            f"{row['amperes_a']} A",
        ), name


def test_small_conductors_equal_the_published_list(described: Described, edition: str) -> None:
    table = described.table("small conductors")
    published = {
        (row["size"], row["material"].translate(str.maketrans("- ", "__"))): float(row["max_ocpd_a"])
        for row in reading("small_conductor")
        if row["edition"] == edition
    }
    for (size, material), values in table.items():
        # The clause names aluminum and copper-clad aluminum together, except for 14 AWG.
        listed = published.get((size, material), published.get((size, "aluminum")))
        assert float((values[0] or "").removesuffix(" A")) == listed, (size, material)


def test_plugged_loads_equal_the_published_table(described: Described) -> None:
    published = {
        (f"{row['circuit_rating_a']} A", f"{row['receptacle_rating_a']} A"): f"{row['max_load_a']} A"
        for row in reading("receptacle_load")
    }
    table = described.table("210.21(B)(2)")
    assert {key: values[0] for key, values in table.items()} == published


def test_service_voltages_equal_range_a(described: Described) -> None:
    table = described.table("ANSI C84.1")
    for row in reading("voltage_ranges"):
        values = table[(f"{row['nominal_v']} V",)]
        assert values == [f"{row['service_min_v']} V", f"{row['service_max_v']} V"], row


# --- general cross-checks, not tied to any copy of the code


def test_circular_mils_follow_astm_b258(described: Described) -> None:
    """Diameter in inches = 0.005 × 92 to the power (36 − n) / 39: ASTM B258."""
    table = described.table("Chapter 9 Table 8")
    numbers = {f"{n} AWG": n for n in (18, 16, 14, 12, 10, 8, 6, 4, 3, 2, 1)}
    numbers |= {"1/0 AWG": 0, "2/0 AWG": -1, "3/0 AWG": -2, "4/0 AWG": -3}
    for size, number in numbers.items():
        mils = 1000 * 0.005 * 92 ** ((36 - number) / 39)
        printed = float((table[(size,)][0] or "").removesuffix(" cmil"))
        assert math.isclose(printed, mils**2, rel_tol=0.005), size
    for size in ("250 kcmil", "300 kcmil", "350 kcmil", "400 kcmil", "500 kcmil"):
        assert table[(size,)] == [f"{size.removesuffix(' kcmil')}000 cmil"]


def test_ambient_factors_follow_the_square_root_law(described: Described) -> None:
    """Factor = sqrt((Tc − Ta) / (Tc − 30)), Ta the upper end of the row: the law behind the printed two decimals."""
    table = described.table("310.15(B)(1)", "310.15(B)(1)(1)", "310.15(B)(2)(a)")
    for (ambient, rating), values in table.items():
        upper = float(ambient.removesuffix(" °C"))
        limit = float(rating.removesuffix(" °C"))
        law = math.sqrt((limit - upper) / (limit - 30))
        assert abs(law - float(values[0] or 0)) <= 0.0051, (ambient, rating)


def test_copper_resistance_follows_its_conductivity() -> None:
    """10.371 ohm-cmil/ft at 20 °C for annealed copper (IACS), 0.00393 per kelvin: within 3 % of Table 8 at 75 °C.

    Stranded conductors are 2 % longer than their cable; the constants are those of the International Annealed Copper Standard.
    """
    for row in reading("conductor_properties"):
        if row["strands"] != "1":
            continue
        hot = 10.371 * (1 + 0.00393 * (75 - 20)) / float(row["circular_mils"]) * 1000
        assert math.isclose(float(row["copper_uncoated_ohm_per_kft"]), hot, rel_tol=0.03), row["size"]
