"""Audits: counts, tables on demand, and what goes in. One synthetic inventory, one pass a source."""

import os
import signal
import subprocess
import sys
import threading
from collections import Counter
from pathlib import Path
from typing import Any

import pyarrow as pa
import pyarrow.parquet as parquet
import pytest

import groundrule

VERDICTS = ("complies", "violates", "not_applicable", "undetermined", "no_verdict")


@pytest.fixture(scope="module")
def audit(book: groundrule.Book, outlets: Any, outlet_map: groundrule.ColumnMap) -> Any:
    return book.audit(outlets, columns=outlet_map)


def test_every_row_is_counted_once_for_each_rule_on_it(audit: Any, outlets: Any) -> None:
    assert audit.rows == outlets.num_rows
    for rule in audit.counts().to_pylist():
        assert sum(rule[verdict] for verdict in VERDICTS) == outlets.num_rows, rule["topic"]
    (rows,) = audit.row_counts().to_pylist()
    assert rows["rows"] == sum(rows[verdict] for verdict in VERDICTS) == outlets.num_rows
    assert rows["violates"] > 0 and rows["no_verdict"] > 0


def test_groups_add_up_to_the_whole(audit: Any, outlets: Any) -> None:
    whole = {rule["topic"]: rule for rule in audit.counts().to_pylist()}
    summed: Counter[tuple[str, str]] = Counter()
    for rule in audit.counts(["district", "year"]).to_pylist():
        for verdict in VERDICTS:
            summed[rule["topic"], verdict] += rule[verdict]
    assert all(summed[topic, v] == rule[v] for topic, rule in whole.items() for v in VERDICTS)
    by_year = {row["year"]: row["rows"] for row in audit.row_counts("year").to_pylist()}
    years = Counter(str(day.year) if day else "(not told)" for day in outlets["ISSUED"].to_pylist())
    assert by_year == years


def test_findings_are_the_violations_that_were_counted(audit: Any, outlets: Any) -> None:
    findings = audit.findings().read_all().to_pylist()
    assert Counter(f["topic"] for f in findings) == {
        rule["topic"]: rule["violates"] for rule in audit.counts().to_pylist() if rule["violates"]
    }
    assert [f["row"] for f in findings] == sorted(f["row"] for f in findings)
    permits = outlets["PERMIT"].to_pylist()
    assert all(f["id"] == permits[f["row"]] and f["verdict"] == "violates" for f in findings)


def test_the_wide_table_holds_all_verdicts(audit: Any) -> None:
    wide = audit.verdicts().read_all()
    for rule in audit.counts().to_pylist():
        counted = Counter(wide[rule["topic"]].to_pylist())
        assert all(counted[verdict] == rule[verdict] for verdict in VERDICTS)
    assert wide.schema.field("dwelling_receptacle_gfci").metadata == {b"citation": b"210.8(A)"}


def test_explanations_are_the_findings_of_the_row(audit: Any) -> None:
    finding = next(iter(audit.findings().read_all().to_pylist()))
    explained = audit.explain([finding["row"]])[finding["row"]]
    assert finding["topic"] in {f.topic for f in explained.violations}
    with pytest.raises(IndexError, match="counted from 0 to 2999"):
        audit.explain([3000])


def test_what_is_missing_is_ranked(audit: Any) -> None:
    ranked = audit.missing().to_pylist()
    assert [r["decisions"] for r in ranked] == sorted((r["decisions"] for r in ranked), reverse=True)
    by_fact = {r["fact"]: r for r in ranked}
    assert by_fact["circuit.work"]["question"] and by_fact["circuit.work"]["column"] == ""
    assert by_fact["receptacle.location"]["column"] == "PLACE"
    assert by_fact["circuit.work"]["decisions"] > by_fact["receptacle.location"]["decisions"] > 0


def test_what_is_missing_is_what_the_findings_lack(book: groundrule.Book) -> None:
    table = pa.table({"location": ["garage", None], "work": ["new", "new"], "gfci": ["none", "none"]})
    known = {"job.occupancy": "one_family_dwelling", "circuit.system": "120 V, 1-phase, 2-wire"}
    audit = book.audit(table, item="receptacle", assume={**known, "receptacle.configuration": "5-20R"})
    (rule,) = (r for r in audit.counts().to_pylist() if r["topic"] == "dwelling_receptacle_gfci")
    ranked = {r["fact"] or r["kind"]: r for r in audit.missing().to_pylist()}
    lacking = [
        missing.fact or missing.kind
        for findings in audit.explain([0, 1]).values()
        for f in findings.filter(verdict="undetermined")
        for missing in {m.fact or m.kind: m for m in f.missing}.values()
        if f.topic in {r["topic"] for r in audit.counts().to_pylist()}
    ]
    assert {fact: r["decisions"] for fact, r in ranked.items()} == Counter(lacking)
    assert rule["violates"] + rule["undetermined"] == 2


def test_any_source_gives_the_same(
    audit: Any, book: groundrule.Book, outlets: Any, outlet_map: groundrule.ColumnMap, tmp_path: Path
) -> None:
    import duckdb
    import pandas as pd
    import polars as pl
    import pyarrow.csv

    # NaN of a column of numbers is "no number" in Arrow, and null in pandas.
    sane = outlets.set_column(
        outlets.schema.get_field_index("SINK_FT"), "SINK_FT", pa.nulls(len(outlets), pa.float64())
    )
    parquet.write_table(sane, tmp_path / "outlets.parquet", row_group_size=700)
    pyarrow.csv.write_csv(sane, tmp_path / "outlets.csv")
    expected = book.audit(sane, columns=outlet_map).counts()
    sources = {
        "polars": pl.from_arrow(sane),
        "pandas": sane.to_pandas(),
        "duckdb": duckdb.from_arrow(sane),
        "parquet": tmp_path / "outlets.parquet",
        "csv": str(tmp_path / "outlets.csv"),
        "batches": sane.to_batches(max_chunksize=999),
        "iterator": iter(sane.to_batches(max_chunksize=999)),
        "reader": sane.to_reader(),
        "polars batches": pl.from_arrow(sane).iter_slices(1000),
    }
    assert isinstance(sources["pandas"], pd.DataFrame)
    for name, source in sources.items():
        assert book.audit(source, columns=outlet_map).counts().equals(expected), name


def test_what_is_no_table_is_told(book: groundrule.Book, tmp_path: Path) -> None:
    import polars as pl

    with pytest.raises(TypeError, match="a lazy frame is collected first"):
        book.audit(pl.DataFrame({"breaker": ["20 A"]}).lazy())
    with pytest.raises(TypeError, match="int is no table"):
        book.audit(3)
    with pytest.raises(ValueError, match=r"a \.parquet or a \.csv"):
        book.audit(tmp_path / "outlets.xlsx")
    with pytest.raises(OSError):
        book.audit(tmp_path / "none.parquet")


def test_a_source_that_is_spent_says_so(book: groundrule.Book) -> None:
    batches = pa.table({"breaker": ["20 A", "30 A"]}).to_batches()
    audit = book.audit(iter(batches))
    assert audit.rows == 2 and audit.missing().num_rows > 0
    for call in (audit.findings, audit.verdicts, audit.problems, lambda: audit.explain([0])):
        with pytest.raises(ValueError, match="can't be read again"):
            call()


def test_findings_are_written_during_the_one_pass(
    audit: Any, book: groundrule.Book, outlets: Any, outlet_map: groundrule.ColumnMap, tmp_path: Path
) -> None:
    out = tmp_path / "findings.parquet"
    book.audit(iter(outlets.to_batches()), columns=outlet_map, write_findings=out)
    written = parquet.read_table(out)
    assert written.to_pylist() == audit.findings().read_all().to_pylist()
    assert book.digest.encode() in written.schema.metadata[b"groundrule"]
    assert list(tmp_path.iterdir()) == [out]


def test_a_run_that_fails_leaves_no_file(book: groundrule.Book, tmp_path: Path) -> None:
    def batches() -> Any:
        yield pa.record_batch({"breaker": ["20 A"]})
        raise RuntimeError("the source is gone")

    with pytest.raises(RuntimeError, match="the source is gone"):
        book.audit(batches(), write_findings=tmp_path / "findings.parquet")
    assert not list(tmp_path.iterdir())


def test_verdicts_do_not_depend_on_threads(
    audit: Any, book: groundrule.Book, outlets: Any, outlet_map: groundrule.ColumnMap
) -> None:
    for threads in (1, 5):
        other = book.audit(outlets, columns=outlet_map, threads=threads)
        assert other.counts(["district"]).equals(audit.counts(["district"]))


def test_other_threads_run_meanwhile(book: groundrule.Book, outlets: Any, outlet_map: Any) -> None:
    large = [batch for _ in range(40) for batch in outlets.to_batches()]
    turns = 0
    done = threading.Event()

    def run() -> None:
        book.audit(large, columns=outlet_map, threads=1)
        done.set()

    worker = threading.Thread(target=run)
    worker.start()
    while not done.wait(0.001):
        turns += 1
    worker.join()
    assert turns > 5


def test_control_c_ends_a_run() -> None:
    program = (
        "import groundrule, pyarrow as pa, itertools\n"
        "batch = pa.record_batch({'breaker': ['20 A'] * 1000})\n"
        "def batches():\n"
        "    print('running', flush=True)\n"
        "    yield from itertools.repeat(batch)\n"
        "groundrule.open_book('nec-2020').audit(batches())\n"
    )
    run = subprocess.Popen(
        [sys.executable, "-c", program], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    )
    assert run.stdout is not None and run.stdout.readline() == "running\n"
    run.send_signal(signal.SIGINT)
    _, told = run.communicate(timeout=300)
    assert "KeyboardInterrupt" in told and run.returncode != 0


def test_a_bar_on_a_terminal_and_none_in_a_pipe(tmp_path: Path) -> None:
    import pty
    import termios

    program = (
        "import groundrule, pyarrow as pa\n"
        "groundrule.open_book('nec-2020').audit(pa.table({'breaker': ['20 A']}))\n"
    )
    piped = subprocess.run([sys.executable, "-c", program], capture_output=True, check=True)
    assert piped.stderr == b""
    ours, theirs = pty.openpty()
    termios.tcsetwinsize(theirs, (24, 100))
    subprocess.run([sys.executable, "-c", program], stderr=theirs, check=True)
    os.close(theirs)
    assert b"nec-2020" in os.read(ours, 10_000)


def test_single_checks_need_no_arrow() -> None:
    program = (
        "import sys\n"
        "sys.modules |= dict.fromkeys(('numpy', 'pyarrow', 'tqdm', 'matplotlib'))\n"
        "import groundrule\n"
        "book = groundrule.open_book('nec-2020')\n"
        "book.check({})\n"
        "for call in (book.audit, lambda t: groundrule.compare_audits(book, book, t)):\n"
        "    try:\n"
        "        call('t.parquet')\n"
        "    except ImportError as told:\n"
        "        print(told)\n"
    )
    told = subprocess.check_output([sys.executable, "-c", program], text=True)
    assert told.count("pip install 'groundrule[audit]'") == 2


def test_memory_does_not_grow_with_the_table(tmp_path: Path) -> None:
    program = (
        "import groundrule, pyarrow as pa, itertools, resource, sys\n"
        "batch = pa.record_batch({'breaker': ['20 A', '30 A'] * 16000})\n"
        "audit = groundrule.open_book('nec-2020').audit(itertools.repeat(batch, int(sys.argv[1])))\n"
        "print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)\n"
    )
    peaks = [
        int(subprocess.check_output([sys.executable, "-c", program, count], text=True))
        for count in ("4", "40")
    ]
    assert peaks[1] - peaks[0] < 40_000, "kilobytes; the longer table alone has 36 times 0.3 MB more"
