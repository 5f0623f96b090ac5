"""What each act takes: which phrases may stand in it, which it can hardly do without."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

from grammar.data import table

NO_BED = 3.0  # a number alone as a bed, where what was done may be about something else
STRANGE = 2.5  # a phrase that the act has no place for
UNASKED = 0.6  # a question with no word that asks
MARKED = 1.2  # a statement with a question mark
INVERTED = 0.5  # a statement that opens like a question ("did the lettuce get watered")
BACKWARDS = 0.8  # "will" in a question about the past
CARRIED = 0.15  # ... where the clause before may have said it
LACKING = 0.8  # something that it can hardly do without


class Frames:
    """The frames of words/frames.toml."""

    def __init__(self, data: dict[str, dict[str, list[str]]]) -> None:
        self.anywhere = frozenset(data["any"].get("takes", ()))
        bare = frozenset(data["any"].get("bare", ()))
        self.takes = {
            act: (frozenset() if act in bare else self.anywhere).union(frame.get("takes", ()))
            for act, frame in data.items()
        }
        self.needs = {act: tuple(map(_either, frame.get("needs", ()))) for act, frame in data.items()}
        self.many = frozenset(data["any"].get("many", ()))
        self._mends = frozenset(data["any"].get("mends", ()))
        self.questions = frozenset(data["any"].get("questions", ()))
        self.backward = frozenset(data["any"].get("backward", ()))
        self.neither = frozenset(data["any"].get("neither", ()))

    def cost(
        self, act: str, types: Sequence[str], flags: frozenset[str], *, follows: bool = False, marked: bool = False
    ) -> float:
        """How badly the phrases fit the act; what a clause before it (`follows`) may have said is lacked less."""
        takes = self.takes.get(act, self.anywhere)
        strange = sum(type_ not in takes for type_ in types) + ({"beds", "bare_beds"} <= set(types))
        stray = NO_BED if "bare_beds" in types and "bare_beds" not in takes else 0.0
        lacking = sum(needs.isdisjoint(types) for needs in self.needs.get(act, ()))
        backwards = BACKWARDS if "plan" in flags and act in self.backward else 0.0
        if act in self.questions and not marked and flags & {"not", "almost", "maybe", "hearsay", "they"}:
            backwards += BACKWARDS + LACKING
        return stray + STRANGE * strange + (CARRIED if follows else LACKING) * lacking + backwards

    def mood(self, act: str, asking: bool, marked: bool, flags: frozenset[str], *, inverted: bool = False) -> float:
        """What a question without a word that asks costs, or a statement that opens like one or has a "?" after it."""
        if act in self.questions:
            return 0.0 if asking or marked else UNASKED * (1 + ("plan" in flags))
        return 0.0 if act in self.neither else MARKED if marked else INVERTED * inverted

    def fits(self, act: str, type_: str) -> bool:
        """Whether the act has a place for a phrase of this type."""
        return type_ in self.takes.get(act, self.anywhere)

    def mends(self, type_: str) -> bool:
        """Whether a phrase of this type may follow "no, make that" without one of its type before."""
        return type_ in self._mends


def _either(need: str) -> frozenset[str]:
    """ "beds|crop" is either."""
    return frozenset(need.split("|"))


@cache
def frames() -> Frames:
    return Frames(table("frames"))
