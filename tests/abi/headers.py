"""What the public C headers declare, and what each declaration says of itself."""

import re
from pathlib import Path
from typing import NamedTuple


class Function(NamedTuple):
    name: str
    declaration: str
    comment: str  # the one above it, or above the group that it stands in
    header: str

    @property
    def since(self) -> str | None:
        found = re.search(r"Since (\d+\.\d+)\.", self.comment)
        return found and found[1]


_GROUP = re.compile(r"/\*((?:[^*]|\*(?!/))*)\*/\n(?:#define [^\n]*\n)*((?:GR_API[^;{]*;\n)+)")
_NAME = re.compile(r"\b(gr_\w+)\(")


def functions(include: Path) -> list[Function]:
    found = []
    for path in sorted((include / "groundrule").glob("*.h")):
        text = path.read_text(encoding="utf-8")
        for comment, group in _GROUP.findall(text):
            words = " ".join(comment.replace("\n *", "\n").split())
            for declaration in group.split(";\n")[:-1]:
                flat = " ".join(declaration.split())
                found.append(Function(_NAME.search(flat)[1], flat, words, path.name))
        declared = len(re.findall(r"^GR_API ", text, re.MULTILINE))
        told = sum(f.header == path.name for f in found)
        if declared != told:
            raise SystemExit(f"{path}: {declared - told} declarations stand without a comment")
    return found


def types(include: Path, kind: str) -> list[str]:
    """Names of all `typedef struct` or `typedef enum` types that are defined."""
    names = set()
    for path in (include / "groundrule").glob("*.h"):
        names.update(re.findall(rf"typedef {kind} (gr_\w+) {{", path.read_text(encoding="utf-8")))
    return sorted(names)


def faults(function: Function) -> list[str]:
    """What a reader of the header has to be told and is not."""
    says, declares = function.comment, function.declaration
    out = []
    if "Fails:" not in says:
        out.append("how it fails")
    if not re.search(r"Threads: (any|one)\b", says):
        out.append("its thread rule")
    if function.since is None:
        out.append("since which version")
    makes_handle = re.search(r"gr_(?!text|slot|finding|error)\w+ \*\*out", declares)
    if makes_handle and "Owns:" not in says:
        out.append("who owns what it makes")
    if "gr_text *out" in declares or declares.startswith(("GR_API gr_text", "GR_API const char")):
        if "orrowed" not in says and "gr_version" not in function.name:
            out.append("how long its text is good")
    if " double " in declares and "unit" not in says:
        out.append("the unit of its numbers")
    return out
