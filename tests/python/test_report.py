"""The report page: whole in itself, honest, and usable in a real browser."""

import os
import re
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pyarrow as pa
import pytest

import groundrule

HOSTILE = '<script>document.title="taken"</script>'
DRIVER, CHROMIUM = shutil.which("chromedriver"), shutil.which("chromium")


@pytest.fixture(scope="module")
def page(outlets: Any, outlet_map: groundrule.ColumnMap, tmp_path_factory: Any) -> Path:
    books = groundrule.open_book("nec-2020"), groundrule.open_book("nec-2023")
    districts = outlets["DISTRICT"].to_pylist()
    districts[0] = HOSTILE
    at = outlets.schema.get_field_index("DISTRICT")
    table = outlets.set_column(at, "DISTRICT", pa.array(districts)).slice(0, 800)
    audit = books[1].audit(table, columns=outlet_map)
    impact = groundrule.compare_audits(*books, table, columns=outlet_map)
    path: Path = tmp_path_factory.mktemp("report") / "report.html"
    audit.write_report(path, title="Outlets under the next edition", impact=impact, note="Invented <rows>.")
    return path


def test_the_page_loads_nothing_from_elsewhere(page: Path) -> None:
    text = page.read_text(encoding="utf-8")
    assert not re.search(r'(?:src|href)="(?!#)', text)
    assert "@import" not in text and "url(http" not in text
    assert [p.name for p in page.parent.iterdir()] == ["report.html"]


def test_words_of_the_table_stay_words(page: Path) -> None:
    text = page.read_text(encoding="utf-8")
    assert HOSTILE not in text
    assert "&lt;script&gt;document.title" in text and "Invented &lt;rows&gt;." in text


def test_the_page_says_what_it_rests_on(page: Path) -> None:
    text = page.read_text(encoding="utf-8")
    for book in map(groundrule.open_book, ("nec-2020", "nec-2023")):
        assert book.digest in text
    from html import escape

    described = groundrule.open_book("nec-2023")
    assert all(escape(caution) in text for caution in described.check({}).cautions)
    assert all(escape(gap["says"]) in text for gap in described.describe()["not_encoded"])
    assert "panel.work = existing" in text and "none: every list is open" in text


def test_a_report_that_fails_leaves_no_file(page: Path, book: groundrule.Book, tmp_path: Path) -> None:
    audit = book.audit(pa.table({"breaker": ["20 A"]}))
    with pytest.raises(OSError):
        audit.write_report(tmp_path / "none" / "report.html")
    audit.write_report(tmp_path / "report.html")
    assert [p.name for p in tmp_path.iterdir()] == ["report.html"]


@pytest.fixture(scope="module")
def browser(page: Path) -> Iterator[Any]:
    if DRIVER is None or CHROMIUM is None:
        why = "no chromium with its driver here (Debian: apt-get install chromium-driver)"
        assert "CI" not in os.environ, why
        pytest.skip(why)
    from selenium import webdriver

    options = webdriver.ChromeOptions()
    options.binary_location = CHROMIUM
    for argument in ("--headless=new", "--no-sandbox", "--disable-gpu", "--window-size=1100,900"):
        options.add_argument(argument)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL"})
    driver = webdriver.Chrome(options, webdriver.ChromeService(DRIVER))
    driver.get(page.as_uri())
    yield driver
    driver.quit()


def table_of(browser: Any, caption: str) -> Any:
    return browser.find_element("xpath", f"//table[caption[starts-with(., '{caption}')]]")


def column(table: Any, index: int) -> list[str]:
    script = "return Array.from(arguments[0].tBodies[0].rows).filter(r => !r.hidden).map(r => r.cells[arguments[1]].textContent)"
    told: list[str] = table.parent.execute_script(script, table, index)
    return told


def test_in_a_browser_nothing_goes_wrong(browser: Any) -> None:
    assert browser.title == "Outlets under the next edition"
    assert browser.get_log("browser") == []
    assert browser.execute_script("return document.documentElement.scrollWidth <= innerWidth")


def test_tables_are_sorted_by_a_head_with_mouse_or_keys(browser: Any) -> None:
    from selenium.webdriver.common.keys import Keys

    table = table_of(browser, "Verdicts by clause")
    head = table.find_elements("css selector", "th")[4]
    button = head.find_element("css selector", "button")
    browser.execute_script("arguments[0].scrollIntoView({block: 'center'})", button)
    button.click()
    counts = [int(text.replace(",", "")) for text in column(table, 4)]
    assert counts == sorted(counts, reverse=True) and len(set(counts)) > 3
    assert head.get_attribute("aria-sort") == "descending"
    button.send_keys(Keys.ENTER)
    assert [int(text.replace(",", "")) for text in column(table, 4)] == sorted(counts)
    assert head.get_attribute("aria-sort") == "ascending"


def test_tables_are_filtered_by_words(browser: Any) -> None:
    table = table_of(browser, "Verdicts by clause")
    before = len(column(table, 0))
    box = table.find_element("xpath", "ancestor::div/preceding-sibling::label[1]/input")
    box.send_keys("gfci dwelling")
    shown = column(table, 1)
    assert 0 < len(shown) < before
    assert all("GFCI" in title and "dwelling" in title.lower() for title in shown)
    assert box.accessible_name.startswith("Show rows with")
    box.clear()
    box.send_keys(" ")
    assert len(column(table, 0)) == before


def test_parts_have_names_for_those_who_do_not_see(browser: Any) -> None:
    for plot in browser.find_elements("css selector", "figure svg"):
        assert plot.get_attribute("role") == "img" and plot.accessible_name.startswith("Bars:")
    assert browser.find_elements("css selector", "figure svg")
    for head in browser.find_elements("css selector", "thead th"):
        assert head.get_attribute("scope") == "col"
    levels = [h.tag_name for h in browser.find_elements("css selector", "h1, h2, h3")]
    assert levels[0] == "h1" and set(levels[1:]) == {"h2"}


def test_print_leaves_out_what_is_for_the_screen(browser: Any) -> None:
    browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": "print"})
    hidden = "return Array.from(document.querySelectorAll('nav, .filter')).every(e => !e.offsetParent)"
    assert browser.execute_script(hidden)
    browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": ""})
