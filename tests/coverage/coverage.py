"""Which lines and branches of the core the unit and C tests run: a table by room, and the floors.

    coverage.py BUILD [--uncovered]

BUILD is the tree of a build with GROUNDRULE_COVERAGE whose tests ran with LLVM_PROFILE_FILE set to
BUILD/coverage/%4m.profraw. Exits with 1 if the core as a whole is below a floor.
"""

import argparse
import json
import subprocess
import sys
from collections import defaultdict
from pathlib import Path

# Percent of the core. Some loops of columns run only on machines with wide vectors.
FLOORS = {"lines": 88.0, "branches": 82.0}


def export(build: Path, *options: str) -> dict:
    profiles = sorted(build.glob("coverage/*.profraw"))
    merged = build / "coverage" / "all.profdata"
    subprocess.run(["llvm-profdata", "merge", "-sparse", "-o", merged, *profiles], check=True)
    objects = [build / "tests" / "unit_tests", build / "libcore" / "libgroundrule.so"]
    command = ["llvm-cov", "export", "-instr-profile", merged, *options, objects[0]]
    for other in objects[1:]:
        command += ["-object", other]
    # Differing hashes are told on the error stream only; what the two objects share is the same.
    out = subprocess.run(command, check=True, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL)
    return json.loads(out.stdout)["data"][0]


def room_of(filename: str, core: str) -> str | None:
    if not filename.startswith(core):
        return None
    part = filename[len(core) :].split("/")
    return part[1] if part[0] == "src" else part[0]


def main() -> int:
    arguments = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    arguments.add_argument("build", type=Path)
    arguments.add_argument("--uncovered", action="store_true", help="list lines that never ran")
    given = arguments.parse_args()
    core = str(Path(__file__).resolve().parents[2] / "libcore") + "/"

    data = export(given.build, *([] if given.uncovered else ["-summary-only"]))
    rooms: dict[str, dict[str, list[int]]] = defaultdict(
        lambda: {"lines": [0, 0], "branches": [0, 0]}
    )
    for file in data["files"]:
        # Rooms are seen through links in the build tree.
        name = str(Path(file["filename"]).resolve())
        room = room_of(name, core)
        if room is None:
            continue
        for kind in FLOORS:
            summary = file["summary"][kind]
            for place in (rooms[room], rooms["core"]):
                place[kind][0] += summary["covered"]
                place[kind][1] += summary["count"]
        if given.uncovered:
            for first, last in never_ran(file["segments"]):
                print(f"{name[len(core) - len('libcore/'):]}:{first}-{last}")

    print(f"{'room':<10} {'lines':>14} {'%':>6} {'branches':>14} {'%':>6}")
    low = False
    for room, counts in sorted(rooms.items(), key=lambda entry: (entry[0] == "core", entry[0])):
        shown = f"{room:<10}"
        for kind, floor in FLOORS.items():
            covered, count = counts[kind]
            percent = 100.0 * covered / max(count, 1)
            shown += f" {covered:>6} of {count:>5} {percent:>5.1f}"
            low = low or (room == "core" and percent < floor)
        print(shown)
    if low:
        print(f"below {FLOORS['lines']} % of lines or {FLOORS['branches']} % of branches")
    return 1 if low else 0


def never_ran(segments: list) -> list[tuple[int, int]]:
    """Ranges of lines that regions with a count of none begin and end."""
    ranges = []
    for segment, after in zip(segments, segments[1:]):
        line, _, count, has_count, *_ = segment
        if has_count and count == 0:
            if ranges and line <= ranges[-1][1] + 1:
                ranges[-1] = (ranges[-1][0], max(after[0], ranges[-1][1]))
            else:
                ranges.append((line, after[0]))
    return ranges


if __name__ == "__main__":
    sys.exit(main())
