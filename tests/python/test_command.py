"""The command: exit status, streams, and what it says to bad input."""

import json
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest

COMMAND = shutil.which("groundrule")
pytestmark = pytest.mark.skipif(COMMAND is None, reason="the command is not on PATH")


def run(*arguments: object, stdin: str = "") -> subprocess.CompletedProcess[str]:
    assert COMMAND is not None
    line = [COMMAND, *map(str, arguments)]
    return subprocess.run(line, input=stdin, capture_output=True, encoding="utf-8", timeout=60)


@pytest.fixture
def job(root: Path) -> Path:
    return root / "docs/examples/garage-outlet.json"


def test_check(job: Path) -> None:
    done = run("check", job, "--book", "nec-2017+tia-17-2")
    assert (done.returncode, done.stderr) == (1, "")
    assert "240.4" in done.stdout and "625.54" in done.stdout
    assert "\033" not in done.stdout


def test_formats_and_standard_input(job: Path) -> None:
    text = job.read_text(encoding="utf-8")
    done = run("check", "-", "--book", "nec-2020", "--format", "json", stdin=text)
    assert done.returncode == 1
    assert json.loads(done.stdout)["book"]["name"] == "nec-2020"
    done = run("check", job, "--book", "nec-2020", "--format", "sarif")
    assert json.loads(done.stdout)["version"] == "2.1.0"
    shorter = run("check", job, "--book", "nec-2020").stdout
    assert len(run("check", job, "--book", "nec-2020", "--all").stdout) > len(shorter)


def test_status_of_open_questions(garage: dict[str, Any]) -> None:
    receptacle = garage["panels"][0]["circuits"][0]["receptacles"][0]
    del receptacle["gfci"]
    garage["panels"][0]["circuits"][0]["runs"][0]["designation"] = "6/3 NM-B"
    done = run("check", "-", "--book", "nec-2020", stdin=json.dumps(garage))
    assert done.returncode == 3
    assert run("check", "-", "--book", "nec-2020", stdin="{}").returncode == 0
    existing = '{"work": "existing"}'
    assert run("check", "-", "--book", "nec-2020", "--strict", stdin=existing).returncode == 0


def test_assumptions_and_rules(job: Path, root: Path, tmp_path: Path) -> None:
    usual = root / "docs/examples/assume-usual.json"
    assert run("check", job, "--book", "nec-2020", "--assume", usual).returncode == 1
    own = tmp_path / "own.rules"
    own.write_text('amendment own to nec-2020\n  title "Own"\ndelete rule 625.54\n')
    done = run("check", job, "--book", "nec-2020+own", "--rules", own, "--format", "json")
    cited = {f["citation"] for f in json.loads(done.stdout)["findings"]}
    assert "240.4" in cited and "625.54" not in cited


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        ((), "a verb is missing"),
        (("chek",), "did you mean 'check'?"),
        (("frobnicate",), "the verbs are check"),
        (("check",), "JOB is required"),
        (("check", "x.json"), "--book is required"),
        (("check", "x.json", "--bok", "nec-2020"), "did you mean '--book'?"),
        (("check", "x.json", "more", "--book", "nec-2020"), "'more' was not expected here"),
        (("check", "x.json", "--book", "nec-2020", "--format", "xml"), "xml"),
        (("check", "no-such-file.json", "--book", "nec-2020"), "cannot read no-such-file.json"),
        (("check", ".", "--book", "nec-2020"), "cannot read ."),
        (("test", "nec-2021"), "nec-2020"),
        (("describe", "nec-2020", "--rules", "none.rules"), "cannot read none.rules"),
        (("lint", "none.rules"), "cannot read none.rules"),
    ],
)
def test_bad_arguments(arguments: tuple[str, ...], said: str) -> None:
    done = run(*arguments)
    assert (done.returncode, done.stdout) == (2, "")
    assert said in done.stderr


def test_bad_jobs(job: Path, garage: dict[str, Any]) -> None:
    done = run("check", "-", "--book", "nec-2020", stdin='{\n  "ocupancy": 1}')
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.startswith("standard input:2:") and "occupancy" in done.stderr
    garage["panels"][0]["circuits"][0]["receptacles"][0]["rated_current"] = "30 A"
    done = run("check", "-", "--book", "nec-2020", stdin=json.dumps(garage))
    assert (done.returncode, done.stdout) == (2, "")
    assert "30 A" in done.stderr
    assert run("check", job, "--book", "nec-2020", "--stage", "tomorrow").returncode == 2


def test_lint(root: Path, tmp_path: Path) -> None:
    shipped = sorted((root / "rulesets/amendments").glob("*.rules"))
    assert shipped
    done = run("lint", *shipped)
    assert (done.returncode, done.stdout, done.stderr) == (0, "no faults\n", "")
    bad = tmp_path / "bad.rules"
    bad.write_text('# A comment\namendment bad to nec-2020\n  title "Bad"\ndelete rule 999.99\n')
    done = run("lint", bad, *shipped)
    assert (done.returncode, done.stderr) == (2, "")
    assert done.stdout.startswith(f"{bad}:4:")  # faults are what was asked for
    listed = json.loads(run("lint", "--json", bad).stdout)
    assert listed[0]["diagnostics"][0]["range"]["start"] == {"line": 3, "character": 12}
    # Text of three editions is looked over three times, and its faults are told once.
    part = tmp_path / "part.rules"
    header = "part of nec-2017, nec-2020, nec-2023\n\n"
    part.write_text(f"{header}gap 90.1 Missing quotes\n")
    told = run("lint", part)
    assert (told.returncode, told.stdout.count("error [syntax]")) == (2, 1)
    assert len(json.loads(run("lint", "--json", part).stdout)) == 3
    # What one edition reads is not idle, though another has no use for it.
    part.write_text(
        f"{header}define job.double_storeys : number\n  = storeys * 2\n"
        'rule 90.2 "Storeys" in nec-2020\n  topic storeys_twice\n  for job\n'
        '  shall double_storeys at most 6\n  says "Too many."\n'
    )
    assert run("lint", part).stdout == "no faults\n"
    part.write_text(f"{header}define job.double_storeys : number\n  = storeys * 2\n")
    assert run("lint", part).stdout.count("warning [unused]") == 1
    # An amendment may take text from another edition, also from one of the caller's.
    old = tmp_path / "old.rules"
    old.write_text(
        'edition old\n  title "Old"\n\nrule 625.54 "Charging"\n  topic charging_receptacle_gfci\n'
        "  for receptacle\n  shall gfci is class_a\n  says \"No.\"\n"
    )
    takes = tmp_path / "takes.rules"
    takes.write_text('amendment takes to nec-2020\n  title "T"\n\ntake rule 625.54 from old\n')
    assert run("lint", takes).returncode == 2
    assert run("lint", takes, old).returncode == 0
    upper = tmp_path / "upper.rules"
    upper.write_text('amendment upper to nec-2017\n  title "Upper"\ndelete rule 625.54\n')
    assert run("lint", upper).returncode == 2
    assert run("lint", upper, "--book", "nec-2017+tia-17-2").returncode == 0


def test_lint_of_a_layer_as_a_whole(tmp_path: Path) -> None:
    own = tmp_path / "own.rules"
    change = (
        'amendment own to nec-2020\n  title "Own"\n\n'
        "change limit spacing of rule 334.30 from 4 ft 6 in to 3 ft\n"
    )
    own.write_text(change)
    done = run("lint", own)
    assert done.returncode == 0  # it opens, and what is told is only doubtful
    assert done.stdout.startswith(f"{own}:4:1: warning [untested]: no test reaches this")
    assert json.loads(run("lint", "--json", own).stdout)[0]["diagnostics"][0]["severity"] == 2
    tested = (
        '\ntest nm_cable_supports "Every 3 ft"\n'
        "  given job.work = new, run.method = nm_cable, run.fished = no\n"
        "        run.accessible_ceiling_end = no, run.support_spacing = 3 ft 1 in\n"
        "        run.box_to_support = 12 in, run.box_to_support_along = 12 in\n"
    )
    own.write_text(change + tested + "  expect violates\n")
    assert run("lint", own).stdout == "no faults\n"
    own.write_text(change + tested + "  expect complies\n")
    done = run("lint", own)
    assert (done.returncode, done.stdout.count("error [test-fails]")) == (2, 1)
    hidden = "add to rule 210.8(A)\n  limit height = 6 ft\n"
    number = (
        'rule 334.30 "Own"\n  topic own\n  for run\n  shall support_spacing at most 3 ft\n'
        '  says "Too far."\n'
    )
    own.write_text(change + hidden + number)
    told = run("lint", own)
    assert told.returncode == 0
    for code in ("untested", "hides-name", "same-number"):
        assert f"warning [{code}]" in told.stdout


def test_format(tmp_path: Path) -> None:
    untidy = tmp_path / "untidy.rules"
    untidy.write_text('amendment own to nec-2020\n title "Own"\n')
    assert run("format", "--check", untidy).returncode == 1
    assert run("format", untidy).returncode == 0
    assert run("format", "--check", untidy).returncode == 0
    broken = tmp_path / "broken.rules"
    broken.write_text('amendment own to\n')
    assert run("format", broken).returncode == 2
    assert broken.read_text() == "amendment own to\n"


def test_rule_tests(tmp_path: Path) -> None:
    done = run("test", "nec-2017+tia-17-2")
    assert (done.returncode, done.stderr) == (0, ""), done.stdout
    own = tmp_path / "own.rules"
    own.write_text(
        'amendment own to nec-2020\n  title "Own"\n'
        "test dwelling_receptacle_gfci \"Wrong on purpose\"\n"
        "  given job.work = existing\n        receptacle.location = garage\n"
        '  expect violates\n  source "Invented."\n'
    )
    done = run("test", "nec-2020+own", "--rules", own)
    assert done.returncode == 1
    assert f"{own}:6:" in done.stdout


def test_what_a_book_holds() -> None:
    assert json.loads(run("describe", "nec-2020").stdout)["book"]["name"] == "nec-2020"
    assert "$schema" in json.loads(run("schema", "nec-2020").stdout)
    assert "edition    nec-2020\n" in run("books").stdout
    assert "amendment  tia-17-2\n" in run("books").stdout


def test_help() -> None:
    done = run("--help")
    assert done.returncode == 0
    for verb in ("check", "test", "lint", "books", "describe", "schema"):
        assert verb in done.stdout
        assert run(verb, "--help").returncode == 0
