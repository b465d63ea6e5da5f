"""groundrule audit: status, streams, and files that are written whole or not at all."""

import json
import os
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import pyarrow.parquet as parquet
import pytest

import groundrule
from groundrule import synthetic

COMMAND = shutil.which("groundrule")


@pytest.fixture
def table(tmp_path: Path) -> Path:
    synthetic.write(tmp_path / "outlets.parquet", 400, seed=3, dirty=0.01)
    (tmp_path / "map.toml").write_text(synthetic.COLUMN_MAP)
    return tmp_path / "outlets.parquet"


def run(*arguments: object, cwd: Path | None = None) -> subprocess.CompletedProcess[str]:
    line = [sys.executable, "-m", "groundrule._audit_command", *map(str, arguments)]
    return subprocess.run(line, capture_output=True, encoding="utf-8", timeout=600, cwd=cwd)


def audit_of(table: Path) -> Any:
    return groundrule.open_book("nec-2023").audit(table, columns=table.parent / "map.toml")


def files_in(directory: Path) -> set[str]:
    return {path.name for path in directory.iterdir()}


def test_a_table_is_audited_into_findings_and_a_report(table: Path) -> None:
    done = run(
        table, "--book", "nec-2023", "--before", "nec-2020", "--columns", "map.toml", "--out", "findings.parquet",
        "--report", "report.html", "--title", "Invented outlets", cwd=table.parent,
    )  # fmt: skip
    assert (done.returncode, done.stderr) == (1, "")
    assert "400 rows (receptacle) by nec-2023" in done.stdout and "newly failing" in done.stdout
    assert "panel.work = existing" in done.stdout
    first = audit_of(table).missing().to_pylist()[0]
    kept_open = done.stdout.partition("Verdicts kept open, by what is missing:")[2].splitlines()[1]
    assert kept_open.split() == [f"{first['decisions']:,}", first["fact"]]
    assert files_in(table.parent) == {"outlets.parquet", "map.toml", "findings.parquet", "report.html"}
    audit = audit_of(table)
    written = parquet.read_table(table.parent / "findings.parquet").to_pylist()
    assert written == audit.findings().read_all().to_pylist()
    assert "<title>Invented outlets</title>" in (table.parent / "report.html").read_text()


def test_json_and_csv(table: Path) -> None:
    done = run(
        table, "--book", "nec-2023", "--columns", "map.toml", "--out", "f.csv", "--format", "json", cwd=table.parent
    )
    told = json.loads(done.stdout)
    assert told["rows"]["rows"] == 400 and told["problems"] > 0
    lines = (table.parent / "f.csv").read_text().splitlines()
    assert len(lines) == 1 + sum(rule["violates"] for rule in told["rules"])
    assert lines[0].startswith('"row","id","district","year","citation"')


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (["--book", "nec-2032"], "nec-2023"),
        (["--book", "nec-2023"], "no fact is called that"),
        (["--book", "nec-2023", "--columns", "none.toml"], "none.toml"),
        (["--book", "nec-2023", "--columns", "map.toml", "--out", "f.xlsx"], ".parquet or .csv"),
        (["--book", "nec-2023", "--columns", "map.toml", "--before", "nec-2031"], "nec-2031"),
    ],
)
def test_bad_input_is_told_and_nothing_is_written(table: Path, arguments: list[str], told: str) -> None:
    before = files_in(table.parent)
    done = run(table, "--report", "r.html", "--out", "f.parquet", *arguments, cwd=table.parent)
    assert (done.returncode, done.stdout) == (2, "")
    assert told in done.stderr and "Traceback" not in done.stderr
    assert files_in(table.parent) == before


def test_a_guess_is_printed_for_correction(table: Path) -> None:
    done = run(table, "--book", "nec-2023", "--guess-columns")
    assert done.returncode == 0
    assert groundrule.ColumnMap.parse(done.stdout).columns["PLACE"].fact == "receptacle.location"


def test_control_c_leaves_no_file(tmp_path: Path) -> None:
    synthetic.write(tmp_path / "outlets.parquet", 3_000_000, seed=3)
    (tmp_path / "map.toml").write_text(synthetic.COLUMN_MAP)
    line = [sys.executable, "-m", "groundrule._audit_command", "outlets.parquet", "--book", "nec-2023"]
    running = subprocess.Popen(
        [*line, "--columns", "map.toml", "--out", "f.parquet"], cwd=tmp_path, stderr=subprocess.PIPE, text=True
    )
    while not any(name.endswith("f.parquet") for name in os.listdir(tmp_path)):
        assert running.poll() is None
        time.sleep(0.01)
    running.send_signal(signal.SIGINT)
    _, told = running.communicate(timeout=300)
    assert (running.returncode, told) == (130, "groundrule: interrupted; no file is written\n")
    assert files_in(tmp_path) == {"outlets.parquet", "map.toml"}


@pytest.mark.skipif(COMMAND is None, reason="the command is not on PATH")
def test_the_main_command_hands_over(table: Path) -> None:
    assert COMMAND is not None
    path = f"{Path(sys.executable).parent}{os.pathsep}{os.environ['PATH']}"
    arguments: list[Any] = [COMMAND, "audit", table, "--book", "nec-2023", "--columns", table.parent / "map.toml"]
    if shutil.which("groundrule-audit", path=path) is None:
        pytest.skip("groundrule-audit is not installed")
    done = subprocess.run(arguments, capture_output=True, text=True, env={**os.environ, "PATH": path})
    assert done.returncode == 1 and "by nec-2023" in done.stdout
    told = subprocess.run([COMMAND, "audit", "--help"], capture_output=True, text=True, env={**os.environ, "PATH": path})
    assert told.stdout.startswith("usage: groundrule audit")


@pytest.mark.skipif(COMMAND is None, reason="the command is not on PATH")
def test_without_the_package_the_command_says_where_it_is(tmp_path: Path) -> None:
    alone = tmp_path / "groundrule"
    shutil.copy(str(COMMAND), alone)
    done = subprocess.run([alone, "audit", "x.parquet"], capture_output=True, text=True, env={"PATH": str(tmp_path)})
    assert done.returncode == 2 and "pip install 'groundrule[audit]'" in done.stderr
