"""Mutants of a book, in Python and by the command."""

import json
import shutil
import subprocess
from pathlib import Path

import pytest

import groundrule

COMMAND = shutil.which("groundrule")

RULES = """amendment probe to nec-2020
  title "Probe (invented)"

change spacing of rule 334.30 from 4 ft 6 in to 24 in

test nm_cable_supports "At the new spacing, and farther"
  given  job.work = new, run.method = nm_cable, run.fished = no, run.accessible_ceiling_end = no
         run.support_spacing = 24 in, run.box_to_support = 12 in, run.box_to_support_along = 12 in
  expect complies
  with   run.support_spacing = {farther} expect violates
"""


def test_a_loose_limit() -> None:
    loose = groundrule.mutate(groundrule.open_book("nec-2020+probe", [RULES.format(farther="3 ft")]))
    assert (loose.mutants, loose.killed) == (3, 2)
    (survivor,) = loose.survivors
    assert (survivor.line, survivor.kind) == (4, "limit")
    assert (survivor.before, survivor.after) == ("spacing = 24 in", "spacing = 25 in")
    assert str(survivor) in loose.to_text()
    held = groundrule.mutate(groundrule.open_book("nec-2020+probe", [RULES.format(farther="24.5 in")]), threads=2)
    assert held.survivors == []
    assert held.mutants == held.killed == 3


def test_a_failing_test_and_an_unknown_file() -> None:
    failing = groundrule.open_book("nec-2020+probe", [RULES.format(farther="20 in")])
    with pytest.raises(groundrule.GroundruleError, match="fail without any change"):
        groundrule.mutate(failing)
    with pytest.raises(groundrule.GroundruleError, match="no file"):
        groundrule.mutate(failing, file="other.rules")


@pytest.mark.skipif(COMMAND is None, reason="the command is not on PATH")
def test_command(tmp_path: Path) -> None:
    def run(*arguments: object) -> subprocess.CompletedProcess[str]:
        line = [str(COMMAND), "mutate", *map(str, arguments)]
        return subprocess.run(line, capture_output=True, encoding="utf-8", timeout=60)

    rules = tmp_path / "probe.rules"
    rules.write_text(RULES.format(farther="3 ft"))
    done = run(rules)
    assert (done.returncode, done.stderr) == (1, "")
    assert "probe.rules:4:" in done.stdout
    assert "limit: spacing = 24 in -> spacing = 25 in" in done.stdout
    assert "2 of 3 mutants killed, 1 survive" in done.stdout
    told = json.loads(run("nec-2020+probe", "--rules", rules, "--format", "json").stdout)
    assert (told["mutants"], told["killed"], len(told["survivors"])) == (3, 2, 1)
    rules.write_text(RULES.format(farther="24.5 in"))
    assert run(rules).returncode == 0
    rules.write_text(RULES.format(farther="20 in"))
    assert run(rules).returncode == 2
    assert run("nec-2019").returncode == 2
