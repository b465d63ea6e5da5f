"""What the shared library weighs, and what runs when it is loaded.

    footprint.py LIBRARY --compiler CXX [--most BYTES]

Exits with 1 if LIBRARY, stripped, has more than BYTES, or if a constructor of its list is not the
toolchain's own: of the startup files, of libgcc, or of a member of the C++ runtime's archive. Ours
initialise nothing when loaded but what the compiler wrote down as constants.
"""

import argparse
import re
import subprocess
import sys
import tempfile
from pathlib import Path

# Of the startup files and of libgcc; the others are named for a member of libstdc++.a.
OF_THE_TOOLCHAIN = {"frame_dummy", "__cpu_indicator_init", "init_cpu_features"}


def output(*command: object) -> str:
    return subprocess.run(command, check=True, capture_output=True, text=True).stdout


def stripped_size(library: Path) -> int:
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / "stripped.so"
        output("strip", "-o", copy, library)
        return copy.stat().st_size


def constructors(library: Path) -> list[str]:
    """Names of the functions that .init_array points to."""
    section = re.search(r"\.init_array\s+INIT_ARRAY\s+(\w+) \w+ (\w+)", output("readelf", "-SW", library))
    if section is None:
        return []
    begin, size = int(section[1], 16), int(section[2], 16)
    names = {}
    for address, name in re.findall(r"^(\w+) [tTwW] (\S+)$", output("nm", library), re.MULTILINE):
        names.setdefault(int(address, 16), name)
    found = []
    for line in output("readelf", "-rW", library).splitlines():
        # offset, info, R_…_RELATIVE, address; or with the symbol's name behind it
        parts = line.split()
        if len(parts) < 4 or not re.fullmatch(r"[0-9a-f]{8,16}", parts[0]):
            continue
        if begin <= int(parts[0], 16) < begin + size:
            found.append(names.get(int(parts[3], 16), f"the function at {parts[3]}"))
    if len(found) != size // 8:
        raise SystemExit(f"{size // 8} constructors, of which {len(found)} were found")
    return found


def runtime_members(compiler: str) -> set[str]:
    archive = output(compiler, "-print-file-name=libstdc++.a").strip()
    return {Path(member).stem.replace("-", "_") for member in output("ar", "t", archive).split()}


def main() -> int:
    arguments = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    arguments.add_argument("library", type=Path)
    arguments.add_argument("--compiler", required=True)
    arguments.add_argument("--most", type=int, help="bytes")
    given = arguments.parse_args()

    size = stripped_size(given.library)
    print(f"{size} bytes, stripped")
    runtime = runtime_members(given.compiler)
    faults = []
    found = constructors(given.library)
    for name in found:
        of_a_file = re.fullmatch(r"_GLOBAL__sub_I_(?:[\d.]*_)?(\w+)\.\w+", name)
        theirs = name in OF_THE_TOOLCHAIN or (of_a_file is not None and of_a_file[1] in runtime)
        print(f"constructor {name}{'' if theirs else ': OURS'}")
        if not theirs:
            faults.append(name)
    if faults:
        print(f"{len(faults)} of {len(found)} constructors are not the toolchain's")
    if given.most is not None and size > given.most:
        print(f"more than {given.most} bytes")
        return 1
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
