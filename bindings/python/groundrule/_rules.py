"""Rule text: one canonical layout, and what is wrong with it."""

import json
import os
from collections.abc import Iterable
from typing import Any

from groundrule import _core
from groundrule._documents import rule_text


def format_rules(rules: str | os.PathLike[str]) -> str:
    """Rule text in its one canonical layout; only blanks and line breaks change.

    rules: a path, or a text of more than one line. A file is read and never written.

    Raises GroundruleError, with line and column, if the text does not parse.
    """
    return _core.lay_out(rule_text(rules, 0))


def lint_rules(book: str, rules: Iterable[str | os.PathLike[str]]) -> list[dict[str, Any]]:
    """All faults of rule files in the book that they belong to, such as "nec-2020+own".

    One entry a file, in the shape of the Language Server Protocol's publishDiagnostics: "uri" is
    the file's name, "diagnostics" a list with range (lines and characters from 0), severity (1
    error, 2 warning), code and message. An empty list: no faults.
    """
    if isinstance(rules, (str, os.PathLike)):
        raise TypeError("rules is a list of paths or texts, not one of them")
    texts = [rule_text(rule, index) for index, rule in enumerate(rules)]
    faults: list[dict[str, Any]] = json.loads(_core.lint(book, list(texts)))
    return faults
