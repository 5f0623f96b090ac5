"""Two ways to read a line that are as likely and would write something else: which of them was meant."""

from __future__ import annotations

import dataclasses
from typing import Any

from assistant.settling.outcome import Either, Move
from assistant.settling.settle import Settler
from grammar.said import Clause, Part

# Where free words differ, the cheaper reading is taken: only these make a record wrong.
FACTS = frozenset(("beds", "crop", "quantity", "unit", "date", "price", "percent", "minutes", "hours"))


def differing_fact(either: Either) -> tuple[str, tuple[Any, ...]] | None:
    """The fact in which the readings differ, with its values; None if they differ in more, or only in free words."""
    first, *others = (outcome.events for outcome in either.outcomes)
    if len(first) != 1 or any(len(events) != 1 or events[0].kind != first[0].kind for events in others):
        return None
    events = [first[0], *(events[0] for events in others)]
    names = [field.name for field in dataclasses.fields(first[0])]
    differing = [name for name in names if len({repr(getattr(event, name)) for event in events}) > 1]
    if len(differing) != 1 or differing[0] not in FACTS:
        return None
    return differing[0], tuple(getattr(event, differing[0]) for event in events)


def chosen(either: Either, clauses: list[Clause], settler: Settler) -> bool:
    """Take the reading that an answer points at, by its number or by what makes it different; False if it does not."""
    if len(clauses) == 1 and clauses[0].act == "no":
        settler.outcome.order.append(Move("give_up", clauses[0]))
        return True
    if any(clause.act is not None for clause in clauses):
        return False
    parts = [part for clause in clauses for part in clause.parts]
    picked = {place for part in parts if (place := _place(part, either)) is not None}
    if len(picked) != 1:
        return False
    meant = either.outcomes[picked.pop()]
    settler.outcome.order.extend(meant.order)
    settler.outcome.waiting.extend(meant.waiting)
    return True


def _place(part: Part, either: Either) -> int | None:
    """Which of the readings a phrase names, counted from 0."""
    differing = differing_fact(either)
    values = differing[1] if differing is not None else ()
    said = part.value if part.type in ("unit", "crop", "customer", "nth") else getattr(part.value, "unit", None)
    if said is not None and said in values:
        return values.index(said)
    number = part.value if part.type == "nth" else getattr(part.value, "quantity", None)
    return int(number) - 1 if number is not None and 1 <= number <= len(either.outcomes) else None
