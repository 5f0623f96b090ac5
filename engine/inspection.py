"""What a certifier or inspector asks to see: the record fields of published rules, and how far the book fills them.

The fields stand in data/record_fields.toml with where each is from. They are a paraphrase: the rules themselves, the
certifier and the inspector decide.
"""

from __future__ import annotations

import datetime as dt
import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any

from engine.safety import compost_recorded, manure_kind
from engine.view import Fact, View


@dataclass(frozen=True, slots=True)
class RecordField:
    """One thing that a rule wants on record: `have` of `of` records show it, and what is the grower's to add.

    `of` is None where no entry of a book can show it, 0 where the book has no such record in these days.
    """

    rule: str
    section: str
    what: str
    have: int
    of: int | None
    add: str

    @property
    def covered(self) -> bool:
        """Whether the book shows it for every record that there is."""
        return self.of is not None and self.have == self.of


@dataclass(frozen=True, slots=True)
class Inspection:
    """The fields of all the rules for the days looked at (None: from the first day, to the last)."""

    start: dt.date | None
    end: dt.date | None
    fields: tuple[RecordField, ...]


def inspection(view: View, start: dt.date | None = None, end: dt.date | None = None) -> Inspection:
    """How far the records of the days (both included) fill the fields that the rules name."""
    kinds = {kind for field in _fields() for kind in field.get("kinds", ())}
    facts = view.facts(start, end, kinds=kinds)
    return Inspection(start, end, tuple(_looked_at(view, field, facts) for field in _fields()))


@cache
def _fields() -> list[dict[str, Any]]:
    text = resources.files("engine").joinpath("data/record_fields.toml").read_text(encoding="utf-8")
    fields: list[dict[str, Any]] = tomllib.loads(text)["field"]
    return fields


def _looked_at(view: View, field: dict[str, Any], facts: list[Fact]) -> RecordField:
    of = have = None
    if "kinds" in field:
        heat = "heat" in field["needs"]
        carry = [fact for fact in facts if fact.event.kind in field["kinds"] and (not heat or _is_compost(fact))]
        of, have = len(carry), sum(all(_shows(view, fact, need) for need in field["needs"]) for fact in carry)
    return RecordField(field["rule"], field["section"], field["what"], have or 0, of, field["add"])


def _shows(view: View, fact: Fact, need: str) -> bool:
    if need == "by":
        return fact.by is not None
    if need == "heat":
        return compost_recorded(view.season(fact.event.date), fact.event.date)
    return getattr(fact.event, need, None) is not None


def _is_compost(fact: Fact) -> bool:
    return manure_kind(getattr(fact.event, "material", "")) == "compost"
