"""Writes rulesets/COVERAGE.md: which clauses the shipped books hold, by article and edition.

    python3 tests/reference/coverage.py build/release/bin/groundrule > rulesets/COVERAGE.md

What is told comes from the books (`groundrule describe`); only the names of the articles stand in articles.csv.
"""

import csv
import json
import re
import subprocess
import sys
from collections import defaultdict
from pathlib import Path

EDITIONS = ("2017", "2020", "2023")
HEAD = """# What the books hold

Written by `tests/reference/coverage.py` from the books themselves; a test fails if it is not current.

A line is a clause, under its number in the latest edition that has it; another number in an earlier edition stands in brackets.
**encoded**: its rules are written out, as far as is known. **partly**: rules are written out, and what the last column names is not.
**not**: the clause is known to bear on these jobs, and none of it is written out; a report names it. An empty cell: the edition has no
such clause, or the clause says nothing there that these jobs could meet. A clause that is on no line is not looked at, and a report
is silent about it. Rules are read from public pages and from memory, each telling which: this page is no substitute for the code.
"""


def described(command: str, edition: str) -> dict:
    done = subprocess.run([command, "describe", f"nec-{edition}"], capture_output=True, encoding="utf-8", check=True)
    return json.loads(done.stdout)


def parts(citation: str) -> list[str]:
    """210.8(A)(2) as 210, 8, A, 2."""
    return re.findall(r"[0-9]+|[A-Za-z]+", citation)


def place(citation: str) -> tuple:
    """Sorts as a code book does: 210.8 before 210.12, (B)(2) before (B)(10)."""
    return tuple((0, int(p), "") if p.isdigit() else (1, 0, p) for p in parts(citation))


def clause(citation: str) -> str:
    """The section and its first letter: what a reader looks for."""
    return re.match(r"[0-9]+\.[0-9]+(\([A-Z]\))?", citation).group(0)


class Line:
    """A clause: per edition its numbers, how many rules it has, and what is missing."""

    def __init__(self) -> None:
        self.numbers = {e: set() for e in EDITIONS}
        self.titles: list[str] = []
        self.rules = dict.fromkeys(EDITIONS, 0)
        self.missing: dict[str, set[str]] = defaultdict(set)

    def bears(self, edition: str) -> bool:
        return bool(self.rules[edition]) or any(edition in told for told in self.missing.values())

    def cell(self, edition: str, name: str) -> str:
        if not self.bears(edition):
            return ""
        lacks = any(edition in told for told in self.missing.values())
        word = "not" if not self.rules[edition] else "partly" if lacks else "encoded"
        others = sorted(self.numbers[edition] - {name}, key=place)
        return word + (f" ({', '.join(others)})" if others else "")

    def lacks(self) -> str:
        bearing = {e for e in EDITIONS if self.bears(e)}
        return "; ".join(
            says + ("" if editions == bearing else f" ({', '.join(sorted(editions))})")
            for says, editions in sorted(self.missing.items()))


def lines_of(books: dict[str, dict]) -> dict[str, Line]:
    """A rule goes by its topic, which lasts; what is missing goes with the rules of its clause, else by its own words."""
    lines: dict[str, Line] = defaultdict(Line)
    latest: dict[str, str] = {}
    for edition in EDITIONS:
        for rule in coded(books[edition]["rules"]):
            latest["rule " + rule["topic"]] = clause(rule["citation"])
        for gap in coded(books[edition]["not_encoded"]):
            latest["gap " + gap["says"]] = clause(gap["citation"])
    for edition in EDITIONS:
        line_of_clause: dict[str, str] = {}
        for rule in coded(books[edition]["rules"]):
            line_of_clause.setdefault(clause(rule["citation"]), latest["rule " + rule["topic"]])
            line = lines[latest["rule " + rule["topic"]]]
            line.rules[edition] += 1
            line.numbers[edition].add(clause(rule["citation"]))
            if rule["title"] not in line.titles:
                line.titles.append(rule["title"])
        for gap in coded(books[edition]["not_encoded"]):
            number = clause(gap["citation"])
            line = lines[line_of_clause.get(number, latest["gap " + gap["says"]])]
            line.numbers[edition].add(number)
            line.missing[gap["says"]].add(edition)
    return lines


def coded(told: list[dict]) -> list[dict]:
    """Those with a clause of the code, without common practice and other standards."""
    return [entry for entry in told if re.match(r"[0-9]+\.[0-9]", entry["citation"])]


def page(books: dict[str, dict]) -> str:
    lines = lines_of(books)
    rows = (Path(__file__).parent / "articles.csv").read_text(encoding="utf-8").splitlines()
    names = list(csv.DictReader(row for row in rows if not row.startswith("#")))
    known = {row["article"]: row["name"] for row in names}
    told = {name.split(".")[0] for name in lines}
    out = [HEAD, "| edition | rules | clauses encoded | partly | not |", "|---|---|---|---|---|"]
    for edition in EDITIONS:
        cells = [line.cell(edition, name).split(" ")[0] for name, line in lines.items()]
        out.append("| {} | {} | {} | {} | {} |".format(
            edition, len(books[edition]["rules"]), *(cells.count(word) for word in ("encoded", "partly", "not"))))
    for article in sorted(told, key=int):
        out += ["", f"## {article}: {known.get(article, 'an article of a special chapter')}", "",
                "| clause | what | 2017 | 2020 | 2023 | not written out |", "|---|---|---|---|---|---|"]
        for name in sorted((n for n in lines if n.split(".")[0] == article), key=place):
            line = lines[name]
            what = "; ".join(line.titles)
            cells = " | ".join(line.cell(e, name) for e in EDITIONS)
            out.append(f"| {name} | {what} | {cells} | {line.lacks()} |")
    out += ["", "## Articles of chapters 1 to 4 of which nothing is written out", "", "| article | about |", "|---|---|"]
    out += [f"| {row['article']} | {row['name']} |" for row in names if row["article"] not in told and int(row["article"]) < 500]
    out += ["", "Of chapters 5 to 8 there is nothing but what stands above. Outside the code the books hold readings of finished outlets, safe work and",
            "proof that a part is dead, each called by its own source."]
    return "\n".join(out) + "\n"


if __name__ == "__main__":
    command = sys.argv[1] if len(sys.argv) > 1 else "groundrule"
    sys.stdout.write(page({e: described(command, e) for e in EDITIONS}))
