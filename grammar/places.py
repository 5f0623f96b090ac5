"""What can be done at each place of a line, worked out once for all the paths that come by."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from grammar.chart import Chart, Column, Edge
from grammar.openings import inverted
from grammar.skeleton import START, Skeleton
from grammar.tokens import Token

# Costs are counted in whole hundredths here, so that sums are exact and equal ways come out equal.
BELOW = 60  # a minus before a figure passed over
SMALL = 12  # a small word (the, of, we) passed over
BESIDE = 45  # an everyday word that says nothing a record keeps
FILLER = 2  # um, okay so, a comma
WITHIN = 20  # an "and" inside a clause
ASKING = 60  # a word that asks, in what is taken for no question
UNKNOWN = 220  # a word that nobody knows
KNOWN = 300  # a word with a meaning, left over
PHRASE = 10  # each phrase that floats: fewer, longer ones are better
MOOD = 10  # a word that changes what a clause counts as
TEXT = 40  # a word of free text
REST = 1  # a word of the rest of the line, taken as it stands
BESIDE_TEXT = 80  # a phrase that floats where free text is to come; a figure or mark in free text

PASSED = {
    "FILLER": FILLER,
    "COMMA": FILLER,
    "CHATTER": SMALL,
    "SMALL": SMALL,
    "PREP": SMALL,
    "BESIDE": BESIDE,
    "JOINER": WITHIN,
    "ASKED": ASKING,
}
PARTING = {"STOP": 0, "JOINER": 10, "COMMA": 25}
NONE: dict[tuple[int, Any], Edge] = {}
SUBJECTS = frozenset(
    (
        "i",
        "we",
        "you",
        "he",
        "she",
        "they",
        "it",
        "there",
        "that",
        "this",
        "crew",
        "which",
    )
)
MODALS = frozenset(("should", "could", "would", "might", "must", "will", "may", "to"))  # "should have" asks nothing
BEFORE_QUESTIONS = frozenset(("FILLER", "JOINER", "COMMA", "ASKED", "CHATTER", "STOP"))
BEING = frozenset(("is", "are", "was", "were"))
ENDS = frozenset((".", "?", "!", ";"))
# Words that free text hardly begins with: "tomorrow", "fri", "two", "what".
NO_TEXT = frozenset(("NAMED_DAY", "WEEKDAY", "WEEKDAY_OR_NOT", "DIGIT", "TEEN", "TENS", "DOZEN", "HALF", "ASKED"))
HAVING = frozenset(("have", "has", "had", "got"))  # "have we" asks, "have to" does not


def hundredths(cost: float) -> int:
    return round(100 * cost)


class Word(NamedTuple):
    """A step along a clause's skeleton, over one of its own words."""

    end: int
    cost: int
    state: int
    asks: bool  # makes the clause a question wherever it stands
    opens: bool  # ... if nothing but a day stands before it


class Phrase(NamedTuple):
    """A phrase that a clause may take; `state` is that of its skeleton after it, where a skeleton names it."""

    type: str
    edge: Edge
    cost: int
    state: int = START


class Passing(NamedTuple):
    """Small words passed over; `role` is what they make of the phrase after them ("from", "for")."""

    end: int
    cost: int
    role: str | None


Reading = tuple[int, int]  # where a word ends and what it costs to take it so


Steps = tuple[list[Word], list[Phrase]]  # along a skeleton


@dataclass(slots=True)
class Place:
    """What the words from here on can be taken as."""

    own: dict[Reading, frozenset[str]]  # words of skeletons
    named: list[Phrase]  # phrases that skeletons name
    floating: list[Phrase]
    passed: list[Passing]
    flags: list[Phrase]  # words that change what a clause counts as
    mends: list[Phrase]  # "no make that", "sorry"
    partings: list[Reading]  # where a clause after this one begins, and the cost
    unread: int | None  # what it costs to leave the word; None where it may be passed over
    text: int  # what it costs to take the word as free text
    opens: bool  # a verb here stands before what it is about ("did we weed", not "we did weed")
    asked: bool  # whether a word that asks stands here
    begins: bool  # whether a clause may begin here with nothing before it
    later: frozenset[str] = frozenset()  # all symbols of skeletons from here to the end of the line
    inverted: bool = False  # "has the ...", "did the ...": what opens so is hardly a statement
    least: int = 0  # no way from here to the end of the line is cheaper
    words: dict[int, Steps] = field(default_factory=dict)  # steps from each state


class Places:
    """The places of one line, the end of the line the last."""

    def __init__(
        self, tokens: list[Token], chart: Chart, skeleton: Skeleton, parts: frozenset[str],
        asking: dict[str, frozenset[str]],
    ) -> None:  # fmt: skip
        self.skeleton = skeleton
        self.asking = asking
        self.all = [_place(tokens, at, chart, skeleton, parts) for at in range(len(chart.columns))]
        self._look_ahead()
        for at in range(len(tokens)):
            self.all[at].inverted = inverted(tokens, chart, at)
        self.refund = self._refund()
        self._reckon()

    def steps(self, at: int, state: int) -> Steps:
        """The words and phrases at a place that lead on in the skeleton of a clause."""
        place = self.all[at]
        known = place.words.get(state)
        if known is None:
            known = place.words[state] = (
                list(self._words(place, state)),
                list(self._named(place, state)),
            )
        return known

    def hopeful(self, at: int, state: int) -> bool:
        """Whether a clause in `state` may still come to an end: it may end here, or a word that leads on is to come."""
        skeleton = self.skeleton
        return state == START or bool(skeleton.acts(state)) or not skeleton.steps(state).isdisjoint(self.all[at].later)

    def _words(self, place: Place, state: int) -> Iterator[Word]:
        steps = self.skeleton.steps(state)
        for (end, cost), symbols in place.own.items():
            led = symbols & steps
            if led:
                state_then = self.skeleton.follow(state, led)
                if self.hopeful(end, state_then):
                    asks = not led.isdisjoint(self.asking["anywhere"])
                    opens = place.opens and not led.isdisjoint(self.asking["first"])
                    yield Word(end, cost, state_then, asks, opens)

    def _named(self, place: Place, state: int) -> Iterator[Phrase]:
        steps = self.skeleton.steps(state)
        for phrase in place.named:
            if phrase.type in steps:
                state_then = self.skeleton.follow(state, frozenset((phrase.type,)))
                if self.hopeful(phrase.edge.end, state_then):
                    yield phrase._replace(state=state_then)

    # ---- looking ahead -----------------------------------------------------------------------------------------------

    def _look_ahead(self) -> None:
        later = frozenset(("TEXT", "REST"))
        self.all[-1].later = frozenset()
        for place in reversed(self.all[:-1]):
            here = {symbol for symbols in place.own.values() for symbol in symbols}
            here.update(phrase.type for phrase in place.named)
            if not here <= later:
                later |= here
            place.later = later

    def _refund(self) -> int:
        """The most that a phrase taken back may give back."""
        if not any(place.mends for place in self.all):
            return 0
        return max((phrase.cost for place in self.all for phrase in place.floating), default=0)

    def _reckon(self) -> None:
        """For each place the least that the rest of the line can cost."""
        free = [self._may_hold(symbol) for symbol in ("TEXT", "REST")]
        end = len(self.all) - 1
        for at in range(end - 1, -1, -1):
            place = self.all[at]
            least = min(cost + self.all[to].least for to, cost in self._costs(at, place))
            if free[0]:
                least = min(least, TEXT + self.all[at + 1].least)
            if free[1]:
                least = min(least, REST * (end - at))
            place.least = max(0, least)

    def _may_hold(self, symbol: str) -> bool:
        """Whether some words of the line may be TEXT or REST: one that brings it on is there, or it may come first."""
        before = self.skeleton.before(symbol)
        if not before.isdisjoint(self.all[0].later):
            return True
        first = frozenset((symbol,))
        return first <= self.skeleton.steps(START) and self.hopeful(0, self.skeleton.follow(START, first))

    def _costs(self, at: int, place: Place) -> Iterator[Reading]:
        yield from place.own
        for phrases in (place.named, place.floating, place.flags):
            yield from ((phrase.edge.end, phrase.cost) for phrase in phrases)
        yield from ((phrase.edge.end, phrase.cost - self.refund) for phrase in place.mends)
        yield from ((passing.end, passing.cost) for passing in place.passed)
        yield from (parting for parting in place.partings if parting[0] > at)
        if place.unread is not None:
            yield at + 1, place.unread


def _place(
    tokens: list[Token],
    at: int,
    chart: Chart,
    skeleton: Skeleton,
    parts: frozenset[str],
) -> Place:
    column = chart.columns[at]
    floating = [phrase for symbol in column if symbol in parts for phrase in _phrases(column, symbol, PHRASE)]
    last = at + 1 >= len(tokens) or tokens[at + 1].text in ENDS
    passed = _passed(column, BELOW if _below_nothing(tokens, at) else 0, last=last)
    passed += [Passing(end, FILLER, None) for end in _asks_for(column) if "ASKED" in chart.columns[end]]
    return Place(
        own=_own(column, skeleton.words),
        named=[phrase for symbol in column if symbol in skeleton.phrases for phrase in _phrases(column, symbol)],
        floating=floating,
        passed=passed,
        flags=_phrases(column, "FLAG", MOOD),
        mends=_phrases(column, "REPAIR"),
        partings=[(edge.end, cost) for symbol, cost in PARTING.items() for edge in column.get(symbol, NONE).values()],
        unread=None if passed or "FLAG" in column else KNOWN if column.keys() - {"WORD"} else UNKNOWN,
        text=TEXT if at == len(tokens) or _wordy(tokens[at], column) else TEXT + BESIDE_TEXT,
        opens=_opens(tokens, at) and not (at and _tells(tokens, at, chart.columns[at - 1])),
        asked="ASKED" in column,
        begins=bool(floating) or not skeleton.steps(START).isdisjoint(column),
    )


def _wordy(token: Token, column: Column) -> bool:
    """Whether a token is a word that free text may well hold: no figure or mark, and not "tomorrow"."""
    return token.text[0].isalpha() and NO_TEXT.isdisjoint(column)


def _phrases(column: Column, symbol: str, more: int = 0) -> list[Phrase]:
    found = column.get(symbol)
    return [Phrase(symbol, edge, hundredths(edge.cost) + more) for edge in found.values()] if found else []


def _own(column: Column, words: frozenset[str]) -> dict[Reading, frozenset[str]]:
    """The words of skeletons that begin at a place: (where they end, cost) -> all that they can be."""
    found: dict[Reading, set[str]] = {}
    for symbol, edges in column.items():
        if symbol in words:
            for edge in edges.values():
                found.setdefault((edge.end, hundredths(edge.cost)), set()).add(symbol)
    return {reading: frozenset(found[reading]) for reading in sorted(found)}


def _below_nothing(tokens: list[Token], at: int) -> bool:
    """A "-" that stands before a figure as a minus does: "takes -5 days", not "radish - 5 lb" nor "1-5"."""
    here = [(token.text == "-", token.number, token.joined) for token in tokens[at : at + 2]]
    return here == [(True, False, False), (False, True, True)]


def _passed(column: Column, dearer: int, *, last: bool) -> list[Passing]:
    """The ways to pass over small words, one for each end: the cheapest, but rather one that gives a role.

    A word that asks is no aside where it is the `last` of its sentence ("ridge 2 weeded when?").
    """
    found: dict[int, Passing] = {}
    for symbol, more in PASSED.items():
        if symbol not in column or (last and symbol == "ASKED"):
            continue
        for _, edge, cost, _ in _phrases(column, symbol, more + dearer):
            passing = Passing(edge.end, cost, edge.value if symbol == "PREP" else None)
            known = found.get(edge.end)
            if known is None or cost < known.cost or (passing.role and not known.role):
                found[edge.end] = passing
    return list(found.values())


def _asks_for(column: Column) -> list[int]:
    """Where words end that only ask for what comes: "remind me" before "what", but not before "to weed"."""
    return [edge.end for edge in column.get("ASKS_FOR", NONE).values()]


def _tells(tokens: list[Token], at: int, before: Column) -> bool:
    """ "240 plants were set out", "... and was moved to mill 8": what was done to something named just before."""
    if tokens[at : at + 1] and tokens[at].text in BEING:
        return BEFORE_QUESTIONS.isdisjoint(before) or (tokens[at].text.startswith("w") and "JOINER" in before)
    return False


def _opens(tokens: list[Token], at: int) -> bool:
    if at >= len(tokens):
        return False
    if tokens[at].text in HAVING and at + 1 < len(tokens) and tokens[at + 1].text in ("to", "been"):
        return False
    if [token.text for token in tokens[at : at + 2]] == ["should", "have"]:
        return False  # "should have sown more" is sorry for it
    if tokens[at].text in HAVING and [token.text for token in tokens[at + 1 : at + 2]] == ["not"]:
        return at + 2 < len(tokens) and tokens[at + 2].text in SUBJECTS  # "have not covered 8" tells
    before = tokens[at - 1].text if at else ""
    return before not in SUBJECTS and not (tokens[at].text in HAVING and before in MODALS)
