"""The cheapest ways to take a whole line: which words make which clause, what floats in it, what was not understood.

A path walks the line from left to right. At each place it may take a word of its clause's skeleton, a phrase that
floats (beds, amounts, days), a small word that says nothing by itself, or the start of the next clause; each has its
cost. The path that can come out cheapest goes on first, so that the ways to take the line are found in the order of
their costs, and most paths are never followed to the end.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache
from heapq import heappop, heappush
from math import inf
from typing import Any

from grammar.chart import Chart, Edge
from grammar.frames import NO_BED, Frames
from grammar.paths import Draft, Gathered, Path, Taken
from grammar.places import BESIDE_TEXT, PHRASE, REST, Phrase, Place, Places, hundredths
from grammar.said import Amount
from grammar.skeleton import START, Skeleton
from grammar.tokens import Token

NEAR = 100  # ways dearer than the cheapest by more than this are not worth a thought
WIDTH = 70  # paths that go on from one place ...
ROOM = 20_000  # ... and from all places of a line, so that a very long one is read more narrowly
NARROW = 8  # ... but never fewer from one place than this
FRESH = 16  # ... of which so many whose clause began at the same word
FEW = 12  # ... of those that hold free text, and of those that begin a clause with nothing to part it from the last
ALIKE = 3  # paths that differ only in the clauses before
DOUBT = 100  # acts dearer than the best for the same words by more than this are not followed

FRAGMENT = 60  # a clause with no word of its own
ABRUPT = 150  # a clause of phrases alone that nothing parts from the one before: they belong to that one
EARLY = 6  # a phrase before the first word of its clause, where it may as well belong to the clause before

STUTTER = 5  # a phrase said twice running ("carrots carrots")

TALK = frozenset(("yes", "give_up", "small_talk", "undo"))  # moves that another clause may follow at once
RUN_ON = 120  # a new clause with nothing to part it from the last
TOLD_ON = 260  # ... that tells something, after a question ("what did we sell spinach for last")
ASKED_ON = 70  # ... that begins with a word that asks
AFTER_TALK = 10  # ... from a move of the talk
SUPPOSED = frozenset(("maybe",))  # "if nadia wants cilantro when do I sow it" asks of what is supposed
UNSURE = frozenset(("not", "maybe", "almost"))  # what such a word began is not over where no word parts it
OVER = -1  # the state of a path that has come to the end of the line
NOTHING = Draft(-1)


class Search:
    """Walks one line; `chart` and `skeleton` tell what each place can hold."""

    def __init__(
        self, tokens: list[Token], chart: Chart, skeleton: Skeleton, frames: Frames, parts: frozenset[str],
        asking: dict[str, frozenset[str]],
    ) -> None:  # fmt: skip
        """`parts` are the types of phrase that float, `asking` the literal words that make a clause a question."""
        self.tokens = tokens
        self.skeleton = skeleton
        self.frames = frames
        self.places = Places(tokens, chart, skeleton, parts, asking)
        self._least = [place.least for place in self.places.all]
        self._end = len(tokens)
        self._marked = _marked(tokens)
        self._width = min(WIDTH, max(NARROW, ROOM // (len(tokens) + 1)))
        self._open: list[tuple[int, int, int, Path]] = []  # (least cost of the whole line, since, number, path)
        self._ways: dict[Any, tuple[int, tuple[Gathered, ...]]] = {}
        self._numbers = 0
        self._limit: float = inf  # what costs more is not worth a thought
        self._gone_on: Counter[Any] = Counter()  # how many paths of a kind have gone on from a place
        self._befores: defaultdict[Any, set[Gathered | None]] = defaultdict(set)  # clauses before, for paths alike
        self.went_on = 0  # paths that went on, a measure of the work done
        self._gathered: dict[Any, Gathered] = {}
        self._better: dict[tuple[Edge, Edge], Edge] = {}  # amounts said anew, with the unit of what they replace
        self._meanings: list[Any] = []  # of the ways found, in the order found ...
        self._given = 0  # ... and how many of them were given
        self._put(Path(0, 0, 0, START, Draft(0)))

    def ways(self) -> list[tuple[int, tuple[Gathered, ...]]]:
        """All ways worth a thought, cheapest first, each meaning once."""
        return list(iter(self.next_way, None))

    def next_way(self, most: float = inf) -> tuple[int, tuple[Gathered, ...]] | None:
        """The next of `ways`; None where there is none that costs at most so much."""
        refund = self.places.refund
        while True:
            least = self._open[0][0] if self._open else inf
            over = least > self._limit + refund
            if self._given < len(self._meanings):
                way = self._ways[self._meanings[self._given]]
                if over or (least > way[0] and not refund):  # nothing to come is as cheap
                    self._given += 1
                    if way[0] <= self._limit:
                        return way
                    continue
            if over or not self._open or (least > most and not refund):
                return None
            self._step(heappop(self._open)[-1])

    def _step(self, path: Path) -> None:
        if path.state == OVER:
            self._found(path)
        elif self._goes_on(path):
            self.went_on += 1
            self._go_on(path)

    def _found(self, path: Path) -> None:
        """Keep a way that came to the end; of equal ways of one meaning that in which small words say more."""
        clauses = path.done.all() if path.done else ()
        meaning = tuple(map(_meaning, clauses))
        known = self._ways.get(meaning)
        if known is None:
            self._meanings.append(meaning)
        if known is None or (known[0] == path.cost and _roles(clauses) > _roles(known[1])):
            self._ways[meaning] = path.cost, clauses

    def _put(self, path: Path) -> None:
        """Keep a path to go on with it when its turn comes."""
        least = path.cost + self._least[path.at]
        if least <= self._limit + (self.places.refund if path.mending else 0):
            self._numbers += 1
            heappush(self._open, (least, path.since, self._numbers, path))

    def _goes_on(self, path: Path) -> bool:
        """Whether a path is among the few that go on from its place; the cheapest come first.

        The first whose clause has no word of its own yet always does: it can end anywhere, so every line has a way.
        """
        at, now = path.at, path.now
        if now.abrupt and now.begin == at:
            return self._counted((at, "abrupt"), FEW)
        alike = (at, path.state, now, path.role, path.mending)
        befores = self._befores[alike]
        if path.done in befores:
            return False
        sure = path.state == START and self._counted((at, "sure"), 1)
        if not sure and (len(befores) >= ALIKE or self._gone_on[at] >= self._width):
            return False
        if not self._counted((at, now.begin, now.text is None), FRESH if now.text is None else FEW) and not sure:
            return False  # so that a clause just begun is not crowded out by many ways to go on with the last
        self._gone_on[at] += 1
        befores.add(path.done)
        return True

    def _counted(self, kind: Any, most: int) -> bool:
        """Count one more of a kind that goes on, if there are not so many yet."""
        if self._gone_on[kind] >= most:
            return False
        self._gone_on[kind] += 1
        return True

    # ---- one step on -------------------------------------------------------------------------------------------------

    def _go_on(self, path: Path) -> None:
        if path.at == self._end:
            for cost, done in self._closed(path):
                self._limit = min(self._limit, cost + NEAR)
                self._put(Path(cost, path.since, path.at, OVER, NOTHING, done))
            return
        place = self.places.all[path.at]
        self._next_clause(path, place)
        self._own_words(path)
        self._floating(path, place)
        self._text(path, place)

    def _own_words(self, path: Path) -> None:
        """The next word of the clause's skeleton: a word of the line, or a phrase that the skeleton names."""
        now = path.now
        words, phrases = self.places.steps(path.at, path.state)
        early = EARLY * len(now.parts) if path.state == START and path.done else 0
        for word in words:
            asks = not now.asking and (word.asks or (word.opens and all(part.type == "when" for part in now.parts)))
            self._put(
                path.gathering(
                    word.end,
                    word.cost + early,
                    now.as_question() if asks else now,
                    word.state,
                )
            )
        for type_, edge, cost, state in phrases:
            self._put(path.gathering(edge.end, cost + early, now.with_part(Taken(type_, edge, path.role)), state))

    def _floating(self, path: Path, place: Place) -> None:
        """Phrases and words that may stand anywhere in a clause, or be left over."""
        now = path.now
        beside = BESIDE_TEXT if self.skeleton.text_due(path.state) else 0
        for phrase in place.floating:
            self._phrase(path, phrase, beside)
        for end, cost, role in place.passed:
            self._put(path.passing(end, cost + beside, role))
        for _, edge, cost, _ in place.flags:
            self._put(path.gathering(edge.end, cost, now.with_flag(edge.value), path.state))
        if now.parts:
            for _, edge, cost, _ in place.mends:
                self._put(path.replacing(edge.end, cost, now, mending=True))
        if place.unread is not None:
            self._put(path.gathering(path.at + 1, place.unread, now.with_unread(path.at), path.state))

    def _phrase(self, path: Path, phrase: Phrase, beside: int) -> None:
        type_, edge, cost, _ = phrase
        now = path.now
        held = next((part for part in now.parts if part.type == type_), None) if now.parts else None
        if held is not None and held.edge.end == edge.start and self._said_again(held.edge, edge):
            self._put(path.replacing(edge.end, STUTTER, now.with_part(Taken(type_, edge, held.role), held)))
            return
        if path.mending:
            if held is not None:
                cost -= hundredths(held.edge.cost) + PHRASE  # what was taken back costs nothing
                edge = self._said_better(held.edge, edge)
            elif not self.frames.mends(type_):
                return
        elif held is not None and type_ not in self.frames.many:
            return
        now = now.with_part(Taken(type_, edge, path.role), held if path.mending else None)
        self._put(path.replacing(edge.end, cost + beside, now))

    def _said_again(self, was: Edge, edge: Edge) -> bool:
        """ "carrots carrots", "14 14 pounds" say one thing; the second may add its unit."""
        words = [token.text for token in self.tokens[was.start : edge.end]]
        once = was.end - was.start
        return words[:once] == words[once : 2 * once] and (len(words) == 2 * once or isinstance(edge.value, Amount))

    def _said_better(self, was: Edge, edge: Edge) -> Edge:
        """ "seven pounds, no, eight" is eight pounds."""
        if not isinstance(edge.value, Amount) or edge.value.unit is not None or was.value.unit is None:
            return edge
        known = self._better.get((was, edge))
        if known is None:
            value = replace(edge.value, unit=was.value.unit)
            known = self._better[was, edge] = Edge(edge.symbol, edge.start, edge.end, value, edge.cost, edge.repair)
        return known

    def _text(self, path: Path, place: Place) -> None:
        at, now, text = path.at, path.now, path.now.text
        if text is not None and text[1] == at:
            self._put(path.passing(at + 1, place.text, path.role, now.with_text(text[0], at + 1)))
        steps = self.skeleton.steps(path.state)
        if "REST" in steps:
            state = self.skeleton.follow(path.state, frozenset(("REST",)))
            self._put(
                path.gathering(
                    self._end,
                    REST * (self._end - at),
                    now.with_text(at, self._end),
                    state,
                )
            )
        if "TEXT" in steps and text is None:
            state = self.skeleton.follow(path.state, frozenset(("TEXT",)))
            if self.places.hopeful(at + 1, state):
                begins = BESIDE_TEXT if any(passing.role for passing in place.passed) else 0  # "todo for tomorrow"
                self._put(path.gathering(at + 1, place.text + begins, now.with_text(at, at + 1), state))

    # ---- the end of a clause -----------------------------------------------------------------------------------------

    def _next_clause(self, path: Path, place: Place) -> None:
        """Close the clause before the path's place, at a joiner or (dearer) at nothing, and begin the next."""
        if path.at == path.now.begin or not (place.begins or place.partings):
            return
        closed = self._closed(path)
        best = min((cost for cost, _ in closed), default=0)
        for cost, done in closed:
            if cost > best + DOUBT:
                continue
            for end, parting in place.partings:
                self._put(path.parting(end, cost + parting, done))
            unsure = done.draft.flags & UNSURE if done else frozenset()
            if place.begins and (not unsure or (place.asked and unsure == SUPPOSED)):
                self._put(path.parting(path.at, cost + self._run_on(done, place), done, abrupt=True))

    def _run_on(self, done: Gathered | None, place: Place) -> int:
        """What it costs to begin a clause here with nothing to part it from the last."""
        if done and done.act in TALK:
            return AFTER_TALK
        if place.asked:
            return ASKED_ON
        supposed = any(edge.value in SUPPOSED for _, edge, _, _ in place.flags)  # "... once the tarp is off"
        asked = done and done.draft.asking and done.act in self.frames.questions
        return TOLD_ON if asked and not supposed else RUN_ON

    def _closed(self, path: Path) -> list[tuple[int, Gathered | None]]:
        """What the path's clause may be if it ends here: (cost of all so far, the clauses)."""
        now, done = path.now, path.done
        if path.state == START and not (now.parts or now.unread or now.flags):
            return [(path.cost, done)]
        return [(path.cost + cost, self._link(done, now, path.at, act, cost)) for act, cost in self._fitting(path)]

    def _fitting(self, path: Path) -> Sequence[tuple[str | None, int]]:
        """The acts that the clause may be, each with the cost of taking it so."""
        now = path.now
        if path.state == START:
            bare = hundredths(NO_BED) if "bare_beds" in now.types else 0  # without a verb a number alone is an amount
            return [(None, bare + FRAGMENT + (ABRUPT if now.abrupt else 0) if now.parts else 0)]
        clause = (now.types, now.flags, now.asking, self.places.all[now.begin].inverted)
        return _fits(self.frames, self.skeleton, path.state, *clause, self._marked[path.at], path.done is not None)

    def _link(self, before: Gathered | None, now: Draft, end: int, act: str | None, cost: int) -> Gathered:
        key = (before, now, end, act, cost)
        known = self._gathered.get(key)
        if known is None:
            known = self._gathered[key] = Gathered(before, now, end, act, 0 if act is None else cost)
        return known


@lru_cache(maxsize=20_000)  # of all the lines of a season a few thousand differ
def _fits(
    frames: Frames, skeleton: Skeleton, state: int, types: tuple[str, ...], flags: frozenset[str], asking: bool,
    inverted: bool, marked: bool, follows: bool,
) -> tuple[tuple[str | None, int], ...]:  # fmt: skip
    """What it costs to take a clause with such phrases as each of the acts that its own words may be."""
    fits: list[tuple[str | None, int]] = []
    for act, cost in skeleton.acts(state):
        cost += frames.cost(act, types, flags, follows=follows, marked=marked)
        fits.append((act, hundredths(cost + frames.mood(act, asking, marked, flags, inverted=inverted))))
    return tuple(fits)


def _meaning(clause: Gathered) -> Any:
    now = clause.draft
    parts = frozenset((part.type, part.edge.value) for part in now.parts)
    return clause.act, parts, now.flags, now.text, now.unread


def _roles(clauses: tuple[Gathered, ...]) -> int:
    return sum(part.role is not None for clause in clauses for part in clause.draft.parts)


def _marked(tokens: list[Token]) -> list[bool]:
    """For each place whether the sentence there ends in a question mark."""
    marked = [False] * (len(tokens) + 1)
    for at in range(len(tokens) - 1, -1, -1):
        ends = tokens[at].text in (".", "?", "!", ";")
        marked[at] = tokens[at].text == "?" if ends else marked[at + 1]
    return marked
