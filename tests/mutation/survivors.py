"""Tells which mutants of the shipped books no test kills, by class, each class with its reason.

    python3 tests/mutation/survivors.py build/release/bin/groundrule > rulesets/SURVIVORS.md

A survivor is put into a class by the place where it stands and the kind of its change: reasons.csv, whose kind `*` stands for all
kinds that have no line of their own there. One that is in no class has no excuse: `rate.py` fails by it, and this script too.
"""

import csv
import json
import re
import subprocess
import sys
from collections import Counter
from pathlib import Path

BOOKS = ("nec-2017", "nec-2020", "nec-2023", "nec-2017+tia-17-2", "nec-2020+harbor-city-2025", "nec-2020+tia-2022-08")
CLASSES = {
    "steps": "A look-up or a rounding steps over it: the next size, row or rating, or the last digit that the code prints, stays the same.",
    "between": "No value lies between the two, or meets the figure just so: nothing is made, no table gives, and no job has it.",
    "same": "Both say the same: the sides meet there, or another condition implies what is left out. It stands for the reader, as in the code.",
    "off": "It stands behind a reading that ships switched one way. Tests can't switch it; a layer that does has tests of its own.",
    "open": "It is part of what is named and not written out: with the change too the verdict stays open, for another reason.",
    "one": "A list of one item, or of equal ones: any and all, largest and smallest then agree.",
    "idle": "An operation with one or with nothing: the cases have one set, one phase or no such load there.",
    "list": "A choice of a list that several rules share; a case of each rule for each choice would say nothing new.",
    "terms": "A term of a load calculation: what it moves stays within the same standard rating.",
    "facts": "What a word implies: the cases beside the rules tell such facts themselves.",
    "yet": "No case yet. These are the ones to write first.",
}
HEAD = """# What no test holds

Written by `tests/mutation/survivors.py`; a test fails if the counts are not current, or if a mutant survives that is in no class.

A mutant is a book with one small change ([mutation](../docs/mutation.md)). Most are killed: some test beside the rules then gives another
verdict. Those that survive are counted here by class. `groundrule mutate nec-2023` lists each with its line.
"""


def told(command: str, book: str) -> dict:
    done = subprocess.run([command, "mutate", book, "--format", "json"], capture_output=True, encoding="utf-8", check=False)
    if done.returncode not in (0, 1):
        raise SystemExit(done.stderr)
    return json.loads(done.stdout)


def place(survivor: dict) -> str:
    """The topic of a rule, which lasts; else what the mutant is told to stand in."""
    rule = re.match(r"rule .* \((\w+)\)$", survivor["in"])
    return rule.group(1) if rule else survivor["in"]


def reasons() -> dict[tuple[str, str], str]:
    with open(Path(__file__).parent / "reasons.csv", encoding="utf-8") as file:
        return {(row["place"], row["kind"]): row["class"] for row in csv.DictReader(file)}


def class_of(survivor: dict, known: dict[tuple[str, str], str]) -> str | None:
    where = place(survivor)
    return known.get((where, survivor["kind"]), known.get((where, "*")))


def unexcused(survivors: list[dict]) -> list[str]:
    known = reasons()
    return [
        f"{s['file']}:{s['line']}:{s['column']}: {s['in']}: {s['kind']}: {s['from']} -> {s['to']}"
        for s in survivors if class_of(s, known) not in CLASSES
    ]


def counts(answer: dict) -> list[int]:
    """Mutants, those killed, and the survivors of each class: a column of the page."""
    known = reasons()
    by_class = Counter(class_of(s, known) for s in answer["survivors"])
    return [answer["mutants"], answer["killed"], *(by_class[name] for name in CLASSES)]


def page(answers: dict[str, dict]) -> str:
    columns = {book: counts(answers[book]) for book in BOOKS}
    out = [HEAD, "| | " + " | ".join(BOOKS) + " |", "|---|" + "---|" * len(BOOKS)]
    for row, name in enumerate(("mutants", "killed", *CLASSES)):
        out.append(f"| {name} | " + " | ".join(str(columns[book][row]) for book in BOOKS) + " |")
    known = reasons()
    for name, reason in CLASSES.items():
        found: dict[str, Counter] = {}
        for book in BOOKS:
            here = Counter(place(s) for s in answers[book]["survivors"] if class_of(s, known) == name)
            for where, number in here.items():
                found.setdefault(where, Counter())[book] = number
        places = ", ".join(f"`{where}` {max(n.values())}" for where, n in sorted(found.items()))
        out += ["", f"## {name}", "", reason, "", places + "." if places else "None."]
    return "\n".join(out) + "\n"


def column_of_page(book: str) -> list[int]:
    text = (Path(__file__).resolve().parents[2] / "rulesets" / "SURVIVORS.md").read_text(encoding="utf-8")
    rows = [[cell.strip() for cell in line.strip("|").split("|")] for line in text.splitlines() if line.startswith("|")]
    return [int(row[rows[0].index(book)]) for row in rows[2:]]


if __name__ == "__main__":
    answers = {book: told(sys.argv[1], book) for book in BOOKS}
    without = sorted({line for answer in answers.values() for line in unexcused(answer["survivors"])})
    if without:
        raise SystemExit("in no class of reasons.csv:\n" + "\n".join(without))
    sys.stdout.write(page(answers))
