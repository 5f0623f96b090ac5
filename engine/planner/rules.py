"""Limits that hold until they are lifted, kept in the book as settings named "planning rule".

The value of such a setting has the sentence (`say`), the sort of limit (`rule`) and its fields; the same sentence with
`lifted` takes it back.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
from typing import Any

from engine.events import Setting, plain
from engine.planner.limits import KeepFor, LeaveEmpty, Limit, NoCrop
from engine.state import Season

NAME = "planning rule"
SORTS: dict[str, type[Limit]] = {"no crop": NoCrop, "keep for": KeepFor, "leave empty": LeaveEmpty}


def as_setting(limit: Limit, day: dt.date, *, lifted: bool = False) -> Setting:
    """The record of a limit from a day on, or of its being lifted."""
    sort = next(name for name, sort in SORTS.items() if isinstance(limit, sort))
    fields = {field.name: plain(getattr(limit, field.name)) for field in dataclasses.fields(limit)}
    value = {"say": str(limit), "rule": sort} | {name: said for name, said in fields.items() if said not in (None, [])}
    return Setting(date=day, name=NAME, value=value | ({"lifted": True} if lifted else {}))


def limits_of(season: Season) -> tuple[Limit, ...]:
    """The limits that stand, in the order said; one that has run out by the season's day is left out."""
    said = [record["value"] for record in season.overrides.get("", ()) if record["name"] == NAME]
    limits = [limit_in(value) for value in said if isinstance(value, dict) and not value.get("lifted")]
    return tuple(limit for limit in limits if limit.end is None or limit.end >= season.day)


def limit_in(value: dict[str, Any]) -> Limit:
    """The limit in a setting's value."""
    sort = SORTS[value["rule"]]
    fields = {field.name: value[field.name] for field in dataclasses.fields(sort) if field.name in value}
    for name in {"start", "end"} & fields.keys():
        fields[name] = dt.date.fromisoformat(fields[name])
    if "beds" in fields:
        fields["beds"] = tuple(fields["beds"])
    if sort is NoCrop:
        fields.setdefault("crop", None)
    return sort(**fields)
