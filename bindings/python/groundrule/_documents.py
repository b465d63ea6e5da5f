"""What a caller hands in, as the named texts that the core reads."""

import datetime
import json
import os
from collections.abc import Mapping, Sequence
from pathlib import Path

NamedText = tuple[str, bytes]


def _plain(value: object) -> object:
    """Other mappings and sequences than Python's own, and dates, for the JSON writer."""
    if isinstance(value, Mapping):
        return dict(value)
    if isinstance(value, Sequence):
        return list(value)
    if isinstance(value, datetime.date) and not isinstance(value, datetime.datetime):
        return value.isoformat()
    raise TypeError(f"a {type(value).__name__} is no value of a fact")


def _from_file(path: str | os.PathLike[str]) -> NamedText:
    return os.fspath(path), Path(path).read_bytes()


def _from_mapping(mapping: Mapping[str, object], name: str) -> NamedText:
    text = json.dumps(dict(mapping), default=_plain, ensure_ascii=False, allow_nan=False)
    return name, text.encode()


def job_document(job: Mapping[str, object] | str | os.PathLike[str]) -> NamedText:
    if isinstance(job, str):
        return "job", job.encode()
    if isinstance(job, Mapping):
        return _from_mapping(job, "job")
    if isinstance(job, os.PathLike):
        return _from_file(job)
    raise TypeError("a job is a mapping, a JSON text, or the path of a JSON file")


def assumption_document(assume: Mapping[str, object] | str | os.PathLike[str]) -> NamedText:
    if isinstance(assume, str):
        return "assumptions", assume.encode()
    if isinstance(assume, Mapping):
        whole = assume if "assume" in assume else {"assume": dict(assume)}
        return _from_mapping(whole, "assumptions")
    if isinstance(assume, os.PathLike):
        return _from_file(assume)
    raise TypeError("assumptions are a mapping, a JSON text, or the path of a JSON file")


def rule_text(rules: str | os.PathLike[str], index: int) -> NamedText:
    """A rule file is never one line, so a text of one line is a path."""
    if isinstance(rules, str):
        return (f"rules[{index}]", rules.encode()) if "\n" in rules else _from_file(rules)
    if isinstance(rules, os.PathLike):
        return _from_file(rules)
    raise TypeError("rules are texts or paths of rule files")
