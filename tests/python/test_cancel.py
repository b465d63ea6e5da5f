"""Long calls tell how far they have come, and a signal or an exception ends them."""

import json
import signal
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

import groundrule

GARAGE = Path(__file__).parents[2] / "docs" / "examples" / "garage-outlet.json"


class Rung(Exception):
    """As KeyboardInterrupt is: raised by the handler of a signal."""


@pytest.fixture
def alarm() -> Iterator[Callable[[float], None]]:
    """Sets an alarm, so many seconds from now, whose handler raises."""

    def ring(*_: object) -> None:
        raise Rung

    before = signal.signal(signal.SIGALRM, ring)
    yield lambda seconds: signal.setitimer(signal.ITIMER_REAL, seconds) and None
    signal.setitimer(signal.ITIMER_REAL, 0)
    signal.signal(signal.SIGALRM, before)


def test_a_signal_ends_mutation(alarm: Callable[[float], None]) -> None:
    book = groundrule.open_book("nec-2023")  # its mutants take many seconds
    alarm(0.3)
    with pytest.raises(Rung):
        groundrule.mutate(book, threads=2)


def test_a_signal_ends_a_long_scan(alarm: Callable[[float], None]) -> None:
    book = groundrule.open_book("nec-2023")
    job = json.loads(GARAGE.read_text(encoding="utf-8"))
    alarm(0.05)
    with pytest.raises(Rung):  # each of the points is checked, which takes most of a second
        groundrule.find_largest(book, job, "circuit.breaker", "0.01 A", "999 A", "0.01 A")


def test_progress_is_told_and_never_falls() -> None:
    heard: list[tuple[int, int]] = []
    book = groundrule.open_book("nec-2020+harbor-city-2025")
    groundrule.mutate(book, progress=lambda done, of: heard.append((done, of)))
    assert heard
    assert heard == sorted(heard)
    assert all(0 <= done <= of for done, of in heard)


def test_what_a_listener_raises_ends_the_work() -> None:
    def tired(done: int, of: int) -> None:
        raise RuntimeError(f"tired after {done} of {of}")

    book = groundrule.open_book("nec-2023")
    began = time.monotonic()
    with pytest.raises(RuntimeError, match="tired after 0 of"):
        groundrule.mutate(book, progress=tired)
    assert time.monotonic() - began < 30
    assert book.name == "nec-2023"  # and is of use
