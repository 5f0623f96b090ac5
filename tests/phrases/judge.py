"""Whether a turn of talk is what a phrase file expects of it: the form of an expectation is told in README.md."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Mapping, Sequence
from decimal import Decimal
from typing import Any

from assistant.turn import Turn
from engine.events import KINDS

Json = Mapping[str, Any]

RIGHT, ASKED, UNREAD, MISANSWERED, WRONG, CRASH = "right", "asked", "unread", "misanswered", "wrong", "crash"
VERDICTS = (RIGHT, ASKED, UNREAD, MISANSWERED, WRONG, CRASH)
"""From mild to grave: asked back, not understood, another question answered, wrongly written unasked, an exception."""


def verdict(expect: Json | Sequence[Json], turns: Sequence[Turn]) -> str:
    """The gravest verdict over a conversation: `expect` has an item a turn, or speaks of the last turn only."""
    if isinstance(expect, Mapping):
        return turn_verdict(expect, turns[-1])
    return max((turn_verdict(*pair) for pair in zip(expect, turns, strict=True)), key=VERDICTS.index)


def turn_verdict(expect: Json, turn: Turn) -> str:
    """The mildest verdict over the outcomes that are allowed."""
    return min((_verdict(outcome, turn) for outcome in expect.get("any_of", [expect])), key=VERDICTS.index)


def _verdict(expect: Json, turn: Turn) -> str:
    records = expect.get("records", [])
    if _as_expected(expect, turn) and same(records, turn.records, is_record):
        return RIGHT
    if turn.question is not None:
        return ASKED
    if not _each_has_its_own(turn.records, records, lambda got, wanted: is_record(wanted, got)):
        return WRONG
    return MISANSWERED if turn.answers else UNREAD


def _as_expected(expect: Json, turn: Turn) -> bool:
    """Question and answers are those expected; the records are looked at by themselves."""
    if "asks" in expect:
        return turn.question is not None and expect["asks"] in ("any", turn.question.about)
    if turn.question is not None:
        return False
    if "nothing" in expect:
        return not turn.answers
    return "answers" not in expect or same(expect["answers"], turn.answers, is_answer)


def same(wanted: Sequence[Json], got: Sequence[Json], fits: Callable[[Json, Json], bool]) -> bool:
    """As many as wanted, in any order, each fitting another one."""
    return len(wanted) == len(got) and _each_has_its_own(wanted, got, fits)


def _each_has_its_own(some: Sequence[Json], others: Sequence[Json], fits: Callable[[Json, Json], bool]) -> bool:
    if not some:
        return True
    first, rest = some[0], some[1:]
    return any(
        fits(first, other) and _each_has_its_own(rest, [*others[:place], *others[place + 1 :]], fits)
        for place, other in enumerate(others)
    )


def is_record(wanted: Json, got: Json) -> bool:
    """Of the same kind, every wanted field equal, and no field that such a record does not have."""
    return wanted["kind"] == got["kind"] and set(got) <= _fields(got["kind"]) and _holds(wanted, got)


def is_answer(wanted: Json, got: Json) -> bool:
    return _holds(wanted, got)


def _fields(kind: str) -> set[str]:
    return {"kind", *(field.name for field in dataclasses.fields(KINDS[kind]))}


def _holds(wanted: Json, got: Json) -> bool:
    return all(name in got and equal(value, got[name]) for name, value in wanted.items())


def equal(wanted: Any, got: Any) -> bool:
    """Numbers as numbers, names whatever their case, lists in any order, of an object the fields that are wanted."""
    match wanted, got:
        case (bool(), _) | (_, bool()) | (None, _) | (_, None):
            return wanted is got
        case (int() | float() | Decimal(), int() | float() | Decimal()):
            return Decimal(str(wanted)) == Decimal(str(got))
        case str(), str():
            return wanted.casefold() == got.casefold()
        case Mapping(), Mapping():
            return _holds(wanted, got)
        case (list() | tuple(), list() | tuple()):
            return len(wanted) == len(got) and all(map(equal, sorted(wanted, key=str), sorted(got, key=str)))
        case _:
            return False
