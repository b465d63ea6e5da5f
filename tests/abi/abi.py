"""The promise of docs/embedding.md, held to: what the headers say, what the library exports, and
that neither changes unannounced.

    abi.py SOURCE_DIR --library LIB      the headers, and the exports of a built library
    abi.py SOURCE_DIR --compiler CC      types and functions against tests/abi/groundrule.abi
    abi.py SOURCE_DIR --compiler CC --announce     writes that file anew

The second needs abidw and abidiff (libabigail); without them it says so and ends with 77.
"""

import argparse
import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from headers import faults, functions, types

SKIPPED = 77


def exports(exports_map: Path) -> dict[str, str]:
    """Functions of the linker's list, each with the version that it stands under."""
    out, version = {}, ""
    for line in exports_map.read_text(encoding="utf-8").splitlines():
        if opened := re.match(r"GROUNDRULE_(\d+\.\d+) {", line):
            version = opened[1]
        elif name := re.match(r"\s+(gr_\w+);", line):
            out[name[1]] = version
    return out


def exported_by(library: Path) -> dict[str, str]:
    listing = subprocess.run(
        ["nm", "-D", "--defined-only", "--with-symbol-versions", library],
        check=True, capture_output=True, text=True).stdout
    return dict(re.findall(r" T (\w+)@@GROUNDRULE_([\d.]+)$", listing, re.MULTILINE))


def check_exports(source: Path, library: Path) -> list[str]:
    declared = functions(source / "libcore/include")
    told = [f"{f.header}: {f.name} does not say {what}" for f in declared for what in faults(f)]
    listed = exports(source / "libcore/cmake/exports.map")
    since = {f.name: f.since for f in declared}
    for name in sorted(since.keys() | listed.keys()):
        if since.get(name) != listed.get(name):
            told.append(f"{name}: since {since.get(name)} in its header, under "
                        f"{listed.get(name)} in libcore/cmake/exports.map")
    built = exported_by(library)
    for name in sorted(listed.keys() ^ built.keys()):
        told.append(f"{name}: is {'not ' if name in listed else ''}exported by {library.name}")
    return told


def describe(source: Path, compiler: str, out: Path) -> None:
    """The headers' types and functions, as libabigail tells them. It sees types in the debug
    information of what is exported, so a library is made of nothing but pointers to everything:
    the one that ships has no such information, and need not be built for this."""
    include = source / "libcore/include"
    lines = ["#include <groundrule/groundrule.h>"]
    for f in functions(include):
        lines.append(f"__typeof__({f.name}) *surface_{f.name} = {f.name};")
    for kind in ("struct", "enum"):
        for name in types(include, kind):
            lines.append(f"{kind} {name} surface_{kind}_{name};")
    with tempfile.TemporaryDirectory() as work:
        surface, built = Path(work) / "surface.c", Path(work) / "libsurface.so"
        surface.write_text("\n".join(lines) + "\n", encoding="utf-8")
        # The base types' names differ between compilers' ideas of C; one standard is named. The
        # source is named without its place, which would stand in what is kept.
        subprocess.run([compiler, "-std=gnu11", "-g", "-gdwarf-4", "-shared", "-fPIC", "-I",
                        include.resolve(), surface.name, "-o", built], cwd=work, check=True)
        subprocess.run(["abidw", "--no-corpus-path", "--no-comp-dir-path", "--no-show-locs",
                        "--no-architecture", "--out-file", out, built], check=True)


def compare(source: Path, compiler: str) -> list[str]:
    kept = source / "tests/abi/groundrule.abi"
    with tempfile.TemporaryDirectory() as work:
        now = Path(work) / "now.abi"
        describe(source, compiler, now)
        outcome = subprocess.run(["abidiff", "--no-architecture", kept, now],
                                 capture_output=True, text=True, check=False)
    if outcome.returncode == 0:
        return []
    return [outcome.stdout + outcome.stderr,
            "The interface is another than tests/abi/groundrule.abi. If that is meant: may it be "
            "(docs/embedding.md, What is promised)? Then announce it: add it to the table there "
            "and run tests/abi/abi.py . --compiler cc --announce"]


def main() -> int:
    parser = argparse.ArgumentParser()
    parser.add_argument("source", type=Path)
    parser.add_argument("--library", type=Path)
    parser.add_argument("--compiler")
    parser.add_argument("--announce", action="store_true")
    given = parser.parse_args()
    told = check_exports(given.source, given.library) if given.library else []
    if given.compiler:
        if not (shutil.which("abidw") and shutil.which("abidiff")):
            print("skipped: no abidw or abidiff here (Debian: abigail-tools)")
            return SKIPPED
        if given.announce:
            describe(given.source, given.compiler, given.source / "tests/abi/groundrule.abi")
        else:
            told += compare(given.source, given.compiler)
    for line in told:
        print(line)
    return 1 if told else 0


if __name__ == "__main__":
    sys.exit(main())
