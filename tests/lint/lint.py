"""Checks rules of the source tree that no compiler knows.

Usage: lint.py ROOT

Prints one line for each fault, `path:line: what is wrong`, and exits with status 1 if there is one.
The order of the rooms is read from libcore/CMakeLists.txt, so that it stands in one place only.
"""

import re
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

MAX_LINES = 450
SIZED_SUFFIXES = {".cc", ".h", ".hpp", ".py"}
SOURCE_SUFFIXES = {".cc", ".h", ".hpp", ".c"}
SKIPPED_DIRECTORIES = {"build", "dist", "node_modules", "__pycache__"}

# Libraries that only some rooms may see, although the system's include path shows them to all.
ROOMS_OF_LIBRARY = {"boost": {"syntax"}, "nlohmann": {"facts", "report", "answers"}}

INCLUDE = re.compile(r'^\s*#\s*include\s*(["<])([^">]+)[">]', re.MULTILINE)

# Output, the end of the process and its environment belong to the host program.
FORBIDDEN_IN_CORE = re.compile(
    r"\bstd::(?:cout|cerr|clog)\b"
    r"|(?<![\w.>])(?:std::)?(?:[fv]|vf|d|vd)?printf\s*\("
    r"|(?<![\w.>])(?:std::)?(?:abort|exit|_exit|_Exit|quick_exit|getenv)\s*\("
)

COMMENT_OR_LITERAL = re.compile(
    r"//[^\n]*"
    r"|/\*.*?\*/"
    r'|R"(?P<tag>[^()\\\s]{0,16})\(.*?\)(?P=tag)"'
    r'|"(?:\\.|[^"\\\n])*"'
    r"|(?<![0-9A-Fa-f])'(?:\\.|[^'\\\n])*'",
    re.DOTALL,
)


@dataclass(frozen=True)
class Fault:
    path: Path
    line: int
    text: str


def without_comments_and_literals(source: str) -> str:
    """The source with comments and literals blanked out; line numbers stay."""
    return COMMENT_OR_LITERAL.sub(lambda match: "\n" * match[0].count("\n"), source)


def line_of(source: str, offset: int) -> int:
    return source.count("\n", 0, offset) + 1


def files_below(root: Path) -> Iterator[Path]:
    """Every file of the tree in a fixed order, without build output and hidden directories."""
    for path in sorted(root.iterdir()):
        if path.is_symlink():
            continue
        if path.is_dir():
            if path.name not in SKIPPED_DIRECTORIES and not path.name.startswith("."):
                yield from files_below(path)
        else:
            yield path


def room_order(root: Path) -> list[str]:
    text = (root / "libcore/CMakeLists.txt").read_text(encoding="utf-8")
    match = re.search(r"^set\(rooms\s+([^)]*)\)", text, re.MULTILINE)
    if match is None:
        raise SystemExit("lint: libcore/CMakeLists.txt does not list the rooms")
    return match[1].split()


def includes(source: str) -> Iterator[tuple[int, str, str]]:
    for match in INCLUDE.finditer(source):
        yield line_of(source, match.start(1)), match[1], match[2]


def room_faults(path: Path, room: str, source: str, rooms: list[str]) -> Iterator[Fault]:
    """Includes that reach up, out of the rooms, or for a library of another room."""
    if room not in rooms:
        yield Fault(path, 1, f"'{room}' is no room of libcore/CMakeLists.txt")
        return
    for line, quote, name in includes(source):
        first = name.split("/")[0]
        if ".." in name.split("/"):
            yield Fault(path, line, f"include of {name}: write it from the root of the rooms")
        elif first in rooms and rooms.index(first) > rooms.index(room):
            yield Fault(path, line, f"room {room} may not include from the later room {first}")
        elif quote == '"' and first not in rooms and not name.startswith("groundrule/"):
            yield Fault(path, line, f'include of "{name}": write it from the root of the rooms')
        standard = name == "groundrule/arrow_abi.h"  # structs of a standard, not our own interface
        if first == "groundrule" and room != "c_api" and not standard:
            yield Fault(path, line, "only room c_api may include the public headers")
        if room not in ROOMS_OF_LIBRARY.get(first, {room}):
            yield Fault(path, line, f"room {room} may not include {first}")


def host_faults(path: Path, source: str) -> Iterator[Fault]:
    """Uses of what belongs to the host program."""
    code = without_comments_and_literals(source)
    for match in FORBIDDEN_IN_CORE.finditer(code):
        what = match[0].rstrip("( \t\n")
        yield Fault(path, line_of(code, match.start()), f"the core may not use {what}")


def binding_faults(path: Path, source: str) -> Iterator[Fault]:
    """A binding is a client: it sees its own files and the public headers."""
    for line, quote, name in includes(source):
        local = (path.parent / name).exists() and ".." not in name.split("/")
        public = name in ("groundrule/groundrule.h", "groundrule/groundrule.hpp")
        if quote == '"' and not local and not public:
            yield Fault(path, line, f"include of {name}: bindings see only the public headers")


def faults_of(root: Path) -> Iterator[Fault]:
    rooms = room_order(root)
    for path in files_below(root):
        inside = path.relative_to(root)
        sized = path.suffix in SIZED_SUFFIXES
        if not sized and path.suffix not in SOURCE_SUFFIXES:
            continue
        source = path.read_text(encoding="utf-8")
        if sized and (lines := len(source.splitlines())) > MAX_LINES:
            yield Fault(inside, MAX_LINES + 1, f"{lines} lines; at most {MAX_LINES} are allowed")
        if path.suffix not in SOURCE_SUFFIXES:
            continue
        if inside.parts[:2] == ("libcore", "src"):
            yield from (
                Fault(inside, fault.line, fault.text)
                for fault in room_faults(path, inside.parts[2], source, rooms)
            )
            yield from host_faults(inside, source)
        elif inside.parts[0] == "bindings":
            yield from (
                Fault(inside, fault.line, fault.text) for fault in binding_faults(path, source)
            )


def main() -> int:
    if len(sys.argv) != 2:
        print("usage: lint.py ROOT", file=sys.stderr)
        return 2
    faults = list(faults_of(Path(sys.argv[1]).resolve()))
    for fault in faults:
        print(f"{fault.path}:{fault.line}: {fault.text}")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
