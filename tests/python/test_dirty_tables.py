"""Dirty data: every problem is told with row and column, good rows are audited, nothing passes silently."""

from pathlib import Path
from typing import Any

import pyarrow as pa
import pytest

import groundrule
from groundrule import Column, ColumnMap

DIRTY = {
    # row 0 is good; each later row has the faults that the list below names
    "location": ["garage", "garrage", "garage", "garage", "garage", "outdoors"],
    "circuit.breaker": ["20 A", "20 A", "-20 A", "20", "20 V", "x"],
    "circuit.poles": ["1", "1", "1", "one", "1", "1"],
    "circuit.neutral": ["yes", "yes", "Y", "yes", "yes", "yes"],
    "height": ["18 in", "1.5 ft", "450 mm", "18 kg", "18 in", "1e99 in"],
    "gfci": ["none", "none", "none", "none", "none", None],
}
EXPECTED = [
    (1, "location"),
    (2, "circuit.breaker"),
    (2, "circuit.neutral"),
    (3, "circuit.breaker"),
    (3, "circuit.poles"),
    (3, "height"),
    (4, "circuit.breaker"),
    (5, "circuit.breaker"),
    (5, "height"),
]
KNOWN = {
    "receptacle.work": "new",
    "job.occupancy": "one_family_dwelling",
    "circuit.system": "120 V, 1-phase, 2-wire",
    "receptacle.configuration": "5-20R",
}


def test_every_cell_at_fault_is_told(book: groundrule.Book) -> None:
    audit = book.audit(pa.table(DIRTY), item="receptacle", assume=KNOWN)
    problems = audit.problems().read_all().to_pylist()
    assert sorted((p["row"], p["column"]) for p in problems) == EXPECTED
    assert all(p["value"] == DIRTY[p["column"]][p["row"]] and p["cause"] for p in problems)
    assert audit.problem_count == len(EXPECTED)
    assert audit.problem_counts["circuit.breaker"] == 4
    (rows,) = audit.row_counts().to_pylist()
    assert rows["no_verdict"] == 5


def test_the_good_row_is_audited_all_the_same(book: groundrule.Book) -> None:
    audit = book.audit(pa.table(DIRTY), item="receptacle", assume=KNOWN)
    wide = audit.verdicts().read_all()["dwelling_receptacle_gfci"].to_pylist()
    alone = book.audit(pa.table(DIRTY).slice(0, 1), item="receptacle", assume=KNOWN)
    assert wide[0] == alone.verdicts().read_all()["dwelling_receptacle_gfci"][0].as_py()
    assert wide[0] in ("violates", "undetermined")
    assert wide[1:] == ["no_verdict"] * 5


def test_more_problems_than_one_batch_tells(book: groundrule.Book) -> None:
    rows = 70_000
    places = ["garage"] * rows
    for row in range(0, rows, 50):
        places[row] = "garrage"
    audit = book.audit(pa.table({"location": places}), item="receptacle")
    told = audit.problems().read_all()["row"].to_pylist()
    assert told == list(range(0, rows, 50))
    assert (audit.problem_count, len(audit.first_problems)) == (1400, 1000)


def test_contradictions_are_told_without_a_column(book: groundrule.Book) -> None:
    table = pa.table({"configuration": ["14-50R"], "rated_current": ["30 A"]})
    (problem,) = book.audit(table, item="receptacle").first_problems
    assert (problem.row, problem.column) == (0, "")
    assert "receptacle.rated_current: two sources tell it differently" in problem.cause


def test_columns_are_told_before_the_run(book: groundrule.Book) -> None:
    table = pa.table({"locaton": ["garage"], "circuit.breaker": [20], "REMARKS": ["-"]})
    with pytest.raises(groundrule.GroundruleError) as caught:
        book.audit(table, item="receptacle")
    for told in ("locaton", '"location"', "which unit", "REMARKS"):
        assert told in str(caught.value)
    with pytest.raises(ValueError, match='"BREAKR" of the map.*did you mean "BREAKER"'):
        book.audit(pa.table({"BREAKER": [1]}), columns={"BREAKR": "circuit.breaker"})


def test_words_dates_and_blanks(book: groundrule.Book) -> None:
    told = ColumnMap(
        item="receptacle",
        columns={
            "WHERE": Column("receptacle.location", values={"1": "garage", "?": ""}),
            "WHEN": Column("job.permit_date", dates="%m/%d/%Y"),
            "NOTE": Column(),
        },
        unknown=("n/a",),
        assume=KNOWN,
    )
    table = pa.table(
        {
            "WHERE": pa.array([1, 1, 7]),
            "WHEN": ["03/31/2024", "31/03/2024", " n/a "],
            "NOTE": ["x", "y", "z"],
            "gfci": ["none", " ", ""],
        }
    )
    audit = book.audit(table, columns=told)
    assert {(p.row, p.column) for p in audit.first_problems} >= {(2, "WHERE")}
    verdict = audit.verdicts().read_all()["dwelling_receptacle_gfci"].to_pylist()
    assert verdict[0] in ("violates", "undetermined") and verdict[2] == "no_verdict"
    assert audit.basis()["columns_left_out"] == ["NOTE"]


def test_what_is_whole_and_assumed_is_named(book: groundrule.Book) -> None:
    table = pa.table({"breaker": ["20 A"]})
    open_ = book.audit(table)
    closed = book.audit(table, complete=["circuit.equipment"], assume={"circuit.work": "new"})
    assert closed.basis()["complete"] == ["circuit.equipment"]
    assert closed.basis()["assumed"] == {"circuit.work": "new"}
    assert (open_.basis()["complete"], open_.basis()["assumed"]) == ([], {})
    facts: list[Any] = [{r["fact"] for r in audit.missing().to_pylist()} for audit in (open_, closed)]
    assert "circuit.equipment" in facts[0] and "circuit.equipment" not in facts[1]
    with pytest.raises(groundrule.GroundruleError, match="no list is called that"):
        book.audit(table, complete=["circuit.equipmint"])


def test_a_table_without_rows_has_a_report_that_says_so(book: groundrule.Book, tmp_path: Path) -> None:
    table = pa.table({"breaker": pa.array([], pa.string())})
    audit = book.audit(table)
    assert audit.row_counts()["rows"].to_pylist() == [0]
    assert len(audit.counts()) == len({r["topic"] for r in audit.counts().to_pylist()}) > 0
    impact = groundrule.compare_audits(groundrule.open_book("nec-2017"), book, table)
    assert impact.by_row()["rows"].to_pylist() == [0]
    audit.write_report(tmp_path / "report.html", impact=impact)
    assert "rows (circuit)" in (tmp_path / "report.html").read_text(encoding="utf-8")


def test_bytes_that_are_no_text_are_told_by_row(book: groundrule.Book, tmp_path: Path) -> None:
    path = tmp_path / "circuits.csv"
    path.write_bytes("breaker,poles,REMARKS\n20 A,1,caf\xe9\n2\xe9 A,1,\n20 A,1,\n".encode("latin-1"))
    audit = book.audit(path, columns=ColumnMap(columns={"REMARKS": Column()}))
    assert [(p.row, p.column) for p in audit.first_problems] == [(1, "breaker")]
    assert audit.rows == 3


def test_a_line_of_another_length_ends_the_audit_with_its_number(book: groundrule.Book, tmp_path: Path) -> None:
    path = tmp_path / "circuits.csv"
    path.write_text("breaker,poles\n20 A,1\n20 A\n", encoding="utf-8")
    with pytest.raises(ValueError, match="circuits.csv.*Row #3: Expected 2 columns, got 1"):
        book.audit(path)


def test_what_is_no_table_is_told_as_that(book: groundrule.Book) -> None:
    twice = pa.Table.from_arrays([pa.array(["20 A"]), pa.array(["20 A"])], names=["breaker", "breaker"])
    with pytest.raises(ValueError, match='two columns are called "breaker"'):
        book.audit(twice)
    with pytest.raises(TypeError, match="a dict is no table"):
        book.audit({"breaker": ["20 A"]})
    batches = [pa.record_batch({name: ["20 A"]}) for name in ("breaker", "fuse")]
    with pytest.raises(ValueError, match="batch 1 has other columns than the first one: fuse"):
        book.audit(batches)


def test_numbers_that_are_none_are_told(book: groundrule.Book) -> None:
    nan, inf = float("nan"), float("inf")
    table = pa.table({"breaker": [20.0, nan, inf, -inf, 1e300, -20.0, None]})
    audit = book.audit(table, units={"breaker": "A"})
    assert [p.row for p in audit.first_problems] == [1, 2, 3, 4, 5]
    assert all(p.column == "breaker" and p.cause for p in audit.first_problems)
    (rows,) = audit.row_counts().to_pylist()
    assert (rows["rows"], rows["no_verdict"]) == (7, 5)


def test_dates_as_texts_are_read_or_told(book: groundrule.Book) -> None:
    told = ColumnMap(columns={"ISSUED": Column("job.permit_date", dates="%m/%d/%Y")})
    words = ["02/29/2024", "02/29/2023", "2024-02-29", "yesterday", "", "45000"]
    audit = book.audit(pa.table({"ISSUED": words}), columns=told)
    assert [p.row for p in audit.first_problems] == [1, 3, 5]


def test_columns_that_no_rule_needs_are_read_too(book: groundrule.Book) -> None:
    told = ColumnMap(columns={"ISSUED": Column("job.application_date", dates="%m/%d/%Y")})
    table = pa.table({"ISSUED": ["02/30/2024", "02/29/2024", "yesterday"], "breaker": ["20 A", "20 A", "x"]})
    audit = book.audit(table, columns=told)
    assert sorted((p.row, p.column) for p in audit.first_problems) == [(0, "ISSUED"), (2, "ISSUED"), (2, "breaker")]
    (rows,) = audit.row_counts().to_pylist()
    assert rows["no_verdict"] == 2
