"""One finding, and what it rests on."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Any


class Verdict(StrEnum):
    """What a rule says of an item. Unknown facts make a verdict undetermined, never a pass."""

    COMPLIES = "complies"
    VIOLATES = "violates"
    NOT_APPLICABLE = "not_applicable"
    UNDETERMINED = "undetermined"


@dataclass(frozen=True, slots=True)
class Value:
    """A value that a finding rests on, as text with its unit, and where it came from."""

    name: str
    value: str
    source: str


@dataclass(frozen=True, slots=True)
class Missing:
    """A fact that would help to decide.

    kind: what has to be done to learn it: choice, look_up, measure, judgement or authority; or
    list (name all items of a list), not_encoded, no_value.
    """

    fact: str
    item: str
    kind: str
    question: str
    choices: tuple[str, ...] = ()
    instead: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Finding:
    """A verdict on one item under one rule.

    citation: the clause that decides, "210.8(A)(2)".
    topic: lasting name of the rule, the same in every edition.
    item: its path in the job, "panels[0].circuits[0]"; "job" for the job itself.
    item_id: the "id" that the job gives the item, or "".
    layer: name of the edition or amendment that the deciding text came from.
    decided_by: citation of the requirement, exception or permission that decided.
    force: "shall" counts; "should", "information" and "caution" are told only.
    known_to_apply: False if it is open whether the rule applies at all.
    values, missing, assumed: what the verdict rests on, would need, and takes on trust.
    """

    citation: str
    topic: str
    title: str
    verdict: Verdict
    item: str
    item_id: str
    layer: str
    decided_by: str
    says: str
    force: str
    known_to_apply: bool
    stages: tuple[str, ...]
    values: tuple[Value, ...]
    missing: tuple[Missing, ...]
    assumed: tuple[str, ...]
    notes: tuple[str, ...] = ()

    @property
    def counts(self) -> bool:
        """Whether the finding counts as a violation if it violates: the force is "shall"."""
        return self.force == "shall"


def finding_from_json(data: Mapping[str, Any]) -> Finding:
    return Finding(
        citation=data["citation"],
        topic=data["rule"],
        title=data["title"],
        verdict=Verdict(data["verdict"]),
        item=data["item"],
        item_id=data["item_id"],
        layer=data["layer"],
        decided_by=data["decided_by"],
        says=data["says"],
        force=data["force"],
        known_to_apply=data["known_to_apply"],
        stages=tuple(data["stages"]),
        values=tuple(Value(v["name"], v["value"], v["source"]) for v in data["values"]),
        missing=tuple(
            Missing(
                m["fact"],
                m["item"],
                m["kind"],
                m["question"],
                tuple(m.get("choices", ())),
                tuple(m.get("instead", ())),
            )
            for m in data["missing"]
        ),
        assumed=tuple(data["assumed"]),
        notes=tuple(data.get("notes", ())),
    )
