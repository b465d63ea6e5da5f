"""The examples in docs/jobs.md do what the page says of them."""

import re
from pathlib import Path

import pytest

import groundrule

PAGE = Path(__file__).resolve().parents[2] / "docs/jobs.md"
BLOCK = re.compile(r"^```json ([a-z-]+)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
BLOCKS = BLOCK.findall(PAGE.read_text(encoding="utf-8"))


@pytest.mark.parametrize(("kind", "text"), BLOCKS)
def test_block(book: groundrule.Book, kind: str, text: str) -> None:
    if kind == "job":
        book.check(text)
    elif kind == "assumptions":
        book.check({}, assume=text)
    else:
        with pytest.raises(groundrule.GroundruleError) as caught:
            book.check(text)
        assert caught.value.code == kind


def test_there_are_blocks_and_all_are_checked() -> None:
    assert len(BLOCKS) == PAGE.read_text(encoding="utf-8").count("```json")
    assert {"job", "assumptions", "contradiction"} <= {kind for kind, _ in BLOCKS}


def test_the_table_of_lists(book: groundrule.Book) -> None:
    page = PAGE.read_text(encoding="utf-8")
    for item in book.describe()["items"][1:]:
        assert f"`{item['list']}`" in page, item["name"]
        assert item["name"] in page
