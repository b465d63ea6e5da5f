"""Which lines and branches of the core the unit and C tests run: a table by room, the floors, and
what no test runs.

    coverage.py BUILD [--write]

BUILD is the tree of a build with GROUNDRULE_COVERAGE whose tests ran with LLVM_PROFILE_FILE set to
BUILD/coverage/%4m.profraw. Exits with 1 if the core as a whole is below a floor, if more than
UNTOLD_ALLOWED places that no test runs have no reason, or if more than ALLOWED places of
uncovered.md, which lists what is not covered and why, no longer stand in the sources; --write
writes it anew. uncovered.md says how branches are counted.
"""

import argparse
import csv
import fnmatch
import json
import re
import subprocess
import sys
from collections import Counter, defaultdict
from dataclasses import dataclass, field
from pathlib import Path

HERE = Path(__file__).resolve().parent
CORE = HERE.parents[1] / "libcore"
LISTING = HERE / "uncovered.md"

# Percent of the core. Some loops of columns run only on machines with wide vectors.
FLOORS = {"lines": 97.0, "branches": 95.0}
# Places that the listing may name although they are gone: a change of the core need not write it
# anew at once.
ALLOWED = 150
# Places without a reason: a change need not tell its own at once.
UNTOLD_ALLOWED = 20
CUT = 100  # characters of a line that are shown


@dataclass
class Measured:
    """A source of the core, with what was counted in it."""

    path: str  # below libcore/src, or below libcore for what is elsewhere
    source: list[str]
    alive: set[int] = field(default_factory=set)  # lines of which something ran
    all: set[int] = field(default_factory=set)  # lines with code
    outcomes: dict[tuple[int, int], list[int]] = field(default_factory=dict)  # line, column: true, false

    @property
    def dead(self) -> set[int]:
        return self.all - self.alive

    def lines(self) -> tuple[int, int]:
        return len(self.alive), len(self.all)

    def text(self, line: int) -> str:
        return self.source[line - 1].strip() if line <= len(self.source) else ""

    def branches(self) -> tuple[int, int]:
        return sum((t > 0) + (f > 0) for t, f in self.outcomes.values()), 2 * len(self.outcomes)

    def places(self) -> list[tuple[str, str]]:
        """What never happened: a line that never ran, or the outcome of a condition that did."""
        dead = self.dead
        found = [("never run", self.text(line)) for line in sorted(dead) if self.text(line).strip("{};")]
        for (line, _), (true, false) in sorted(self.outcomes.items()):
            if line in dead or (true and false):
                continue
            found.append(("never true" if not true else "never false", self.text(line)))
        return found


def export(build: Path) -> dict:
    profiles = sorted(build.glob("coverage/*.profraw"))
    merged = build / "coverage" / "all.profdata"
    subprocess.run(["llvm-profdata", "merge", "-sparse", "-o", merged, *profiles], check=True)
    command = ["llvm-cov", "export", "-instr-profile", merged, build / "tests" / "unit_tests",
               "-object", build / "libcore" / "libgroundrule.so"]
    # Differing hashes are told on the error stream only; what the two objects share is the same.
    out = subprocess.run(command, check=True, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL)
    return json.loads(out.stdout)["data"][0]


def note_lines(measured: Measured, segments: list) -> None:
    for segment, after in zip(segments, segments[1:]):
        line, _, count, has_count, *_ = segment
        if has_count:
            last = after[0] if after[1] > 1 else after[0] - 1
            lines = range(line, max(last, line) + 1)
            measured.all.update(lines)
            if count:
                measured.alive.update(lines)


def measure(data: dict) -> list[Measured]:
    found: dict[Path, Measured] = {}
    for file in data["files"]:
        # Rooms are seen through links in the build tree, a header through those of several rooms.
        path = Path(file["filename"]).resolve()
        if not path.is_relative_to(CORE):
            continue
        if path not in found:
            inside = path.relative_to(CORE / "src" if path.is_relative_to(CORE / "src") else CORE)
            found[path] = Measured(str(inside), path.read_text(encoding="utf-8").splitlines())
        one = found[path]
        note_lines(one, file["segments"])
        # Of a template every instantiation is told: an outcome counts if one of them had it.
        for line, column, _, _, true, false, *_ in file["branches"]:
            if line > len(one.source):  # edited since it was built
                continue
            # The switch itself is an outcome "none of its cases", which -Wswitch makes impossible.
            if re.search(r"\bswitch \($", one.source[line - 1][: column - 1]):
                continue
            seen = one.outcomes.setdefault((line, column), [0, 0])
            seen[0] += true
            seen[1] += false
    return sorted(found.values(), key=lambda f: f.path)


def table(files: list[Measured]) -> tuple[str, dict[str, float]]:
    rooms: dict[str, list[int]] = defaultdict(lambda: [0, 0, 0, 0])
    for f in files:
        for room in (f.path.split("/")[0], "core"):
            for i, count in enumerate((*f.lines(), *f.branches())):
                rooms[room][i] += count
    out = f"{'room':<10} {'lines':>14} {'%':>6} {'branches':>14} {'%':>6}\n"
    for room, (ran, lines, had, branches) in sorted(rooms.items(), key=lambda e: (e[0] == "core", e[0])):
        out += f"{room:<10} {ran:>6} of {lines:>5} {100 * ran / max(lines, 1):>5.1f}"
        out += f" {had:>6} of {branches:>5} {100 * had / max(branches, 1):>5.1f}\n"
    ran, lines, had, branches = rooms["core"]
    return out, {"lines": 100 * ran / lines, "branches": 100 * had / branches}


@dataclass
class Reason:
    """A row of reasons/ROOM.csv: why places are not reached whose file has this name and whose line
    has these words, both as they are told in the listing."""

    file: str  # pattern of the shell
    text: str  # regular expression
    reason: str  # a word of the table in uncovered.md
    why: str  # what the word alone does not tell, or nothing


def reasons() -> list[Reason]:
    """Those of a room stand before those of all rooms: the first that fits counts."""
    found = []
    for path in sorted((HERE / "reasons").glob("*.csv"), key=lambda path: (path.stem == "core", path.stem)):
        with open(path, encoding="utf-8", newline="") as file:
            found += [Reason(**row) for row in csv.DictReader(file)]
    return found


UNTOLD = Reason("", "", "untested", "")


def listing(files: list[Measured], percent: dict[str, float]) -> tuple[str, Counter[str]]:
    """The places by file, and how many there are of each reason."""
    known = reasons()
    out = ""
    counts: Counter[str] = Counter()
    for f in files:
        places = Counter(f.places())
        if not places:
            continue
        out += f"\n### {f.path}\n\n"
        for (what, text), times in places.items():
            given = next((r for r in known if fnmatch.fnmatch(f.path, r.file) and re.search(r.text, text)), UNTOLD)
            counts[given.reason] += times
            shown = text if len(text) <= CUT else text[: CUT - 3] + "..."
            out += f"- {what}{f' ({times})' if times > 1 else ''}, {given.reason}: `{shown}`"
            out += f" ({given.why})\n" if given.why else "\n"
    told = ", ".join(f"{reason} {count}" for reason, count in counts.most_common())
    print(f"not covered: {counts.total()} places ({told})")
    head = (f"\nWhen this list was written, {percent['lines']:.1f} % of the lines and {percent['branches']:.1f} % of the branches "
            f"ran, and {counts.total()} places did not: {told}.\n")
    return head + out, counts


def entries(text: str) -> Counter[str]:
    """The places that a listing names, each with its file."""
    out: Counter[str] = Counter()
    file = ""
    for line in text.splitlines():
        if line.startswith("### "):
            file = line
        elif line.startswith("- never"):
            out[f"{file} {line}"] += 1
    return out


def stale(text: str) -> list[str]:
    """Places of a listing whose line stands in its source no more."""
    out, file, source = [], "", ""
    for line in text.splitlines():
        if line.startswith("### "):
            file = line[4:]
            path = CORE / "src" / file
            source = path.read_text(encoding="utf-8") if path.exists() else ""
        elif line.startswith("- never"):
            shown = line[line.index("`") + 1 : line.rindex("`")]
            if shown.removesuffix("...") not in source:
                out.append(f"{file}: {shown}")
    return out


def main() -> int:
    arguments = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    arguments.add_argument("build", type=Path)
    arguments.add_argument("--write", action="store_true", help="write uncovered.md anew")
    given = arguments.parse_args()

    files = measure(export(given.build))
    told, percent = table(files)
    print(told, end="")
    before = LISTING.read_text(encoding="utf-8")
    head = before[: before.index("## Places") + len("## Places\n")]
    places, counts = listing(files, percent)
    now = head + places
    status = 0
    if counts[UNTOLD.reason] > UNTOLD_ALLOWED:
        print(f"{counts[UNTOLD.reason]} places have no reason: write a test, or say why in reasons/; {UNTOLD_ALLOWED} may wait")
        status = 1
    for kind, floor in FLOORS.items():
        if percent[kind] < floor:
            print(f"{percent[kind]:.1f} % of {kind}: the floor is {floor} %")
            status = 1
    if given.write:
        LISTING.write_text(now, encoding="utf-8")
        return status
    run, come = entries(before) - entries(now), entries(now) - entries(before)
    gone = stale(before)
    print(f"{LISTING.name}: {run.total()} places run by now or are gone, {come.total()} are not on it")
    if len(gone) > ALLOWED:
        print(f"{LISTING.name} names {len(gone)} places that are gone: write it anew with --write")
        status = 1
    return status


if __name__ == "__main__":
    sys.exit(main())
