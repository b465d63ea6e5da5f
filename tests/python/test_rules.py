"""Rule text from Python: layout and faults."""

import groundrule
import pytest

UNTIDY = """amendment own to nec-2020
  title "Own"
rule 90.1   "A rule"
  topic own_rule
  for receptacle
  shall gfci is   class_a
  says "No protection."
"""


def test_layout_changes_blanks_only_and_is_stable() -> None:
    tidy = groundrule.format_rules(UNTIDY)
    assert tidy != UNTIDY
    assert tidy.split() == UNTIDY.split()
    assert groundrule.format_rules(tidy) == tidy


def test_text_that_does_not_parse_is_refused_with_its_place() -> None:
    with pytest.raises(groundrule.GroundruleError) as caught:
        groundrule.format_rules(UNTIDY.replace("shall", "shal"))
    assert (caught.value.line, caught.value.code) == (6, "syntax")


def codes_of(text: str) -> list[str]:
    files = groundrule.lint_rules("nec-2020+own", [text])
    return [fault["code"] for file in files for fault in file["diagnostics"]]


def test_a_rule_without_a_test_is_told_until_it_has_one() -> None:
    assert codes_of(UNTIDY) == ["untested"]
    tested = """
test own_rule "None, and of the right class"
  given job.work = new, receptacle.gfci = none
  expect violates
  with receptacle.gfci = class_a expect complies
"""
    assert codes_of(UNTIDY + tested) == []


def test_faults_come_with_their_place() -> None:
    (file,) = groundrule.lint_rules("nec-2020+own", [UNTIDY.replace("class_a", "class_q")])
    (fault,) = file["diagnostics"]
    assert fault["code"] == "unknown-choice"
    assert fault["range"]["start"]["line"] == 5


def test_a_rule_that_can_never_apply_is_told() -> None:
    never = UNTIDY.replace("  shall", "  where gfci is none\n  where gfci is class_a\n  shall")
    assert "never" in codes_of(never)
