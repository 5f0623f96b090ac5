"""What the form of a statement tells of its day: what is on a list of things to do, a day that goes for two deeds."""

from __future__ import annotations

import datetime as dt
import re
from itertools import pairwise

from assistant.settling.words import bidden, under_way
from engine.events import KINDS
from grammar.said import Clause, Part

A_WEEK = dt.timedelta(days=7)
ONLY_OF_DONE = ("lasting", "percent", "cut", "last")
MODALS = ("should", "shall", "can", "could", "may", "ought")
AND = ("and", "&", "n")


def is_bidden(clause: Clause, line: str, day: Part | None, today: dt.date) -> bool:
    """ "flip mill 1 sat" is on a list of things to do; `day` is what "mon: ..." said before the clause."""
    said = _from_its_verb(clause, line)
    if any(map(bidden, said)):
        return _may_be_coming(clause, day, today, ("amount", *ONLY_OF_DONE))
    return any(map(under_way, said)) and _may_be_coming(clause, day, today, ONLY_OF_DONE)


def may_be_bidden(clause: Clause, line: str, today: dt.date) -> bool:
    """ "pick 20 bunches kale fri" was done last friday or is for the coming one."""
    return any(map(bidden, _from_its_verb(clause, line))) and _may_be_coming(clause, None, today, ONLY_OF_DONE)


def _from_its_verb(clause: Clause, line: str) -> list[str]:
    before = [part.span.end for part in clause.parts if part.type in ("when", "person")]
    return [line[start : clause.span.end] for start in (clause.span.start, *before)]


def _may_be_coming(clause: Clause, day: Part | None, today: dt.date, of_done: tuple[str, ...]) -> bool:
    """Whether a weekday alone is named, and nothing that only what is done has."""
    part = clause.part("when") or day
    if part is None or any(clause.part(type_) for type_ in of_done):
        return False
    done, wanted = (part.value.days(today, sense) for sense in ("done", "wanted"))
    return done is not None and wanted is not None and wanted.start - done.start == A_WEEK


def day_at_the_end(clause: Clause, later: tuple[Clause, ...], line: str, today: dt.date) -> dt.date | None:
    """ "forked over and raked yesterday": the day at the end of what "and" joins goes for all of it."""
    for before, after in pairwise((clause, *later)):
        joined = line[before.span.end : after.span.start].strip(" ,").lower()
        if after.act not in KINDS or joined not in AND or before.part("when") is not None:
            return None
        part = max(after.parts, key=lambda one: one.span.start, default=None)
        if part is not None and part.type == "when":
            days = part.value.days(today, "done")
            return days.start if days is not None and days.single and days.start < today else None
    return None


def is_asked_back(clause: Clause, line: str) -> bool:
    """ "and thin it?", "should i spray the arugula" tell nothing that was done, nor that it will be."""
    first = tuple(re.findall(r"\w+", line[clause.span.start : clause.span.end].lower())[:2])
    if len(first) == 2 and first[0] in MODALS and first[1] in ("i", "we"):
        return True
    return line[clause.span.end :].lstrip().startswith("?") and bidden(line[clause.span.start : clause.span.end])
