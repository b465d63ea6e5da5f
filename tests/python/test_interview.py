"""The interview on docs/interview.md, asked again from the page's own text."""

import importlib.util
import re
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

import groundrule


@pytest.fixture(scope="module")
def page(root: Path) -> str:
    return (root / "docs/interview.md").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def writer(root: Path) -> ModuleType:
    spec = importlib.util.spec_from_file_location("interview", root / "tests/reference/interview.py")
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="module")
def replayed(page: str) -> tuple[int, dict[str, Any]]:
    """How many questions there were, and the job that the dialogue ends with."""
    dialogue = page.split("```")[1]
    turns = re.findall(r"^ *(\d+)\. (.+)\n {5}(\S+) at (\S+) > (.+)$", dialogue, re.MULTILINE)
    assert len(turns) * 2 == len(dialogue.strip().splitlines())
    interview = groundrule.Interview(groundrule.open_book("nec-2023"), {}, outline=True)
    for number, (place, question, fact, item, answer) in enumerate(turns, 1):
        asked = interview.question
        assert asked is not None and int(place) == number
        assert (asked.question, asked.fact, asked.item) == (question, fact, item)
        assert asked.proven or asked.waiting == 0  # of the outline nothing waits yet
        interview.answer(answer)
    assert interview.question is None
    return len(turns), interview.job()


def test_the_dialogue_ends_in_a_full_decision(page: str, replayed: tuple[int, dict[str, Any]]) -> None:
    count, job = replayed
    report = groundrule.open_book("nec-2023").check(job)
    open_for_facts = [f for f in report if f.verdict == "undetermined" and f.force == "shall" and f.missing]
    assert not open_for_facts
    told = set(re.findall(r"^- (\S+), .+, at `(.+)`$", page, re.MULTILINE))
    assert told == {(f.citation, f.item) for f in report.violations} and told
    assert f"| nec-2023 | {count} |" in page


def test_the_questions_are_counted_against_all_fields(page: str, replayed: tuple[int, dict[str, Any]]) -> None:
    count, job = replayed
    everything = sum(
        len([n for n in field if n not in ("id", "note", "assumed", "complete")]) for field in fields_of(groundrule.open_book("nec-2023"), job)
    )
    assert re.search(rf"^\| nec-2023 \| {count} \| {everything} \|", page, re.MULTILINE)
    assert count < everything / 2


def fields_of(book: groundrule.Book, job: dict[str, Any]) -> list[list[str]]:
    """The names of the properties of every item of a job, by the schema of its book."""
    schema = book.schema()
    found: list[list[str]] = []
    waiting = [(job, schema)]
    while waiting:
        item, shape = waiting.pop()
        shape = schema["$defs"][shape["$ref"].split("/")[-1]] if "$ref" in shape else shape
        found.append(list(shape["properties"]))
        for name, value in item.items():
            if isinstance(value, list) and name != "complete":
                waiting += [(one, shape["properties"][name]["items"]) for one in value]
    return found


def test_the_page_is_current(page: str, writer: ModuleType) -> None:
    assert writer.written(writer.answers_in(page)) == page, (
        "run: python tests/reference/interview.py > build/interview.md && mv build/interview.md docs/interview.md"
    )
