"""What changes from one book to another on the same rows, against the two audits laid side by side."""

from collections import Counter
from typing import Any

import pyarrow as pa
import pytest

import groundrule

PASS = ("complies", "not_applicable")


@pytest.fixture(scope="module")
def books() -> tuple[groundrule.Book, groundrule.Book]:
    return groundrule.open_book("nec-2017"), groundrule.open_book("nec-2023")


@pytest.fixture(scope="module")
def impact(books: Any, outlets: Any, outlet_map: groundrule.ColumnMap) -> Any:
    return groundrule.compare_audits(*books, outlets, columns=outlet_map)


def change(before: str, after: str) -> str | None:
    if "no_verdict" in (before, after) or before == after:
        return None
    if after == "violates":
        return "newly_failing"
    if after == "undetermined":
        return "newly_undetermined"
    if before == "violates":
        return "newly_passing"
    return "newly_settled" if before == "undetermined" else None


def test_changes_by_clause_and_district(
    impact: Any, books: Any, outlets: Any, outlet_map: groundrule.ColumnMap
) -> None:
    wide = [book.audit(outlets, columns=outlet_map).verdicts().read_all() for book in books]
    districts = wide[0]["district"].to_pylist()
    topics = [name for name in wide[1].column_names if name not in ("row", "id", "district", "year")]
    expected: Counter[tuple[str, str, str]] = Counter()
    for topic in topics:
        new = wide[1][topic].to_pylist()
        old = wide[0][topic].to_pylist() if topic in wide[0].column_names else [
            v if v == "no_verdict" else "not_applicable" for v in new
        ]
        for district, before, after in zip(districts, old, new, strict=True):
            if kind := change(before, after):
                expected[district, topic, kind] += 1
    found: Counter[tuple[str, str, str]] = Counter()
    for row in impact.by_clause("district").to_pylist():
        for kind in ("newly_failing", "newly_passing", "newly_undetermined", "newly_settled"):
            if row["topic"] in topics:
                found[row["district"], row["topic"], kind] += row[kind]
    assert +found == expected
    assert sum(n for (_, _, kind), n in expected.items() if kind == "newly_failing") > 50


def test_whole_rows(impact: Any, books: Any, outlets: Any, outlet_map: Any) -> None:
    (total,) = impact.by_row().to_pylist()
    fails = [
        book.audit(outlets, columns=outlet_map).row_counts()["violates"][0].as_py() for book in books
    ]
    assert [total["fail_before"], total["fail_after"]] == fails
    assert total["rows"] == len(outlets)
    by_year = impact.by_row("year").to_pylist()
    assert sum(row["newly_failing"] for row in by_year) == total["newly_failing"] > 0


def test_a_kitchen_outlet_far_from_any_sink_fails_from_2023_on(books: Any) -> None:
    """210.8(A)(6): until 2020 receptacles that serve countertops, since 2023 all of the kitchen."""
    table = pa.table({"location": ["kitchen", "kitchen"], "gfci": ["none", "class_a"]})
    known = {
        "receptacle.work": "new",
        "receptacle.configuration": "5-20R",
        "receptacle.serves": "general",
        "receptacle.sink_distance": "20 ft",
        "receptacle.tub_distance": "100 ft",
        "receptacle.in_basement": False,
        "job.occupancy": "one_family_dwelling",
        "circuit.system": "120 V, 1-phase, 2-wire",
    }
    impact = groundrule.compare_audits(*books, table, item="receptacle", assume=known)
    told = {row["topic"]: row for row in impact.by_clause().to_pylist()}
    assert told["dwelling_receptacle_gfci"]["citation"] == "210.8(A)"
    assert told["dwelling_receptacle_gfci"]["newly_failing"] == 1


def test_a_book_against_itself_changes_nothing(books: Any, outlets: Any, outlet_map: Any) -> None:
    same = groundrule.compare_audits(books[1], books[1], outlets, columns=outlet_map)
    assert same.by_clause().num_rows == 0
    assert "0 newly failing" in repr(same)
