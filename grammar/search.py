"""The cheapest ways to take a whole line: which words make which clause, what floats in it, what was not understood.

A path walks the line from left to right. At each place it may take a word of its clause's skeleton, a phrase that
floats (beds, amounts, days), a small word that says nothing by itself, or the start of the next clause; each has its
cost. The cheapest paths that differ in meaning are the ways to take the line.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

from grammar.chart import Chart, Column, Edge
from grammar.frames import Frames
from grammar.skeleton import START, Skeleton
from grammar.tokens import Token

WIDTH = 70  # paths kept at one place
FEW = 6  # the same for clauses that hold free text
FRESH = 16  # paths kept at one place whose clause began at the same word
ALIKE = 3  # paths kept that differ only in the clauses before
DOUBT = 1.0  # acts dearer than the best for the same words by more than this are not followed
SLACK = 4.0  # paths dearer than the best at their place by more than this are dropped

SMALL = 0.12  # a small word (the, of, we) passed over
FILLER = 0.02  # um, okay so, a comma
UNKNOWN = 2.2  # a word that nobody knows
KNOWN = 3.0  # a word with a meaning, left over
PHRASE = 0.1  # each phrase that floats: fewer, longer ones are better
ABRUPT = 1.5  # a clause of phrases alone that nothing parts from the one before: they belong to that one
RUN_ON = 0.9  # a new clause with nothing to part it from the last
FRAGMENT = 0.6  # a clause with no word of its own
TEXT = 0.4  # a word of free text
REST = 0.01  # a word of the rest of the line, taken as it stands
BESIDE_TEXT = 0.8  # a phrase that floats where free text is to come
MOOD = 0.1  # a word that changes what a clause counts as
WITHIN = 0.2  # an "and" inside a clause
EARLY = 0.06  # a phrase before the first word of its clause, where it may as well belong to the clause before

PASSED = {"FILLER": FILLER, "COMMA": FILLER, "CHATTER": SMALL, "SMALL": SMALL, "PREP": SMALL, "JOINER": WITHIN}
SUBJECTS = frozenset(("i", "we", "you", "he", "she", "they", "it", "there", "that", "this", "crew", "which"))
TALK = frozenset(("yes", "give_up", "small_talk", "undo"))  # moves that another clause may follow at once
UNSURE = frozenset(("not", "maybe", "almost"))  # what such a word began is not over where no word parts it
JOINERS = frozenset({"JOINER", "STOP", "COMMA"})
PARTING = {"STOP": 0.0, "JOINER": 0.1, "COMMA": 0.25}


@dataclass(frozen=True, slots=True)
class Taken:
    """A phrase that a clause holds."""

    type: str
    edge: Edge
    role: str | None = None


@dataclass(frozen=True, slots=True)
class Draft:
    """A clause being gathered, or gathered; places are word numbers."""

    begin: int
    end: int
    act: str | None = None
    parts: tuple[Taken, ...] = ()
    flags: frozenset[str] = frozenset()
    text: tuple[int, int] | None = None
    unread: tuple[int, ...] = ()
    repairs: tuple[str, ...] = ()
    cost: float = 0.0
    abrupt: bool = False  # begun with nothing to part it from the clause before
    asking: bool = False  # a word that asks is among its own words


@dataclass(frozen=True, slots=True)
class Path:
    cost: float
    state: int
    now: Draft
    done: tuple[Draft, ...] = ()
    role: str | None = None
    mending: bool = False  # "no make that", "sorry": the next phrase replaces one of its type


class Search:
    """Walks one line; `chart` and `skeleton` tell what each place can hold."""

    def __init__(
        self, tokens: list[Token], chart: Chart, skeleton: Skeleton, frames: Frames, parts: frozenset[str],
        asking: dict[str, frozenset[str]],
    ) -> None:  # fmt: skip
        """`parts` are the types of phrase that float, `asking` the literal words that make a clause a question."""
        self.tokens = tokens
        self.asking = asking
        self.chart = chart
        self.skeleton = skeleton
        self.frames = frames
        self.parts = parts
        self.paths: list[list[Path]] = [[] for _ in range(len(tokens) + 1)]
        self._own = [_own_words(column) for column in chart.columns]
        self._named = [frozenset(symbol for symbol in column if symbol[0].islower()) for column in chart.columns]
        self._passed = [_passes(column) for column in chart.columns]

    def ways(self) -> list[tuple[float, tuple[Draft, ...]]]:
        """All ways kept, cheapest first, each meaning once."""
        self.paths[0].append(Path(0.0, START, Draft(0, 0)))
        for at in range(len(self.tokens)):
            kept = self._kept(at)
            fresh = [longer for path in kept for end, longer in self._next_clause(at, path) if self._led(at, end, longer)]
            for path in kept + _best(fresh):
                for end, longer in self._steps(at, path):
                    self.paths[end].append(longer)
        found: dict[Any, tuple[float, tuple[Draft, ...]]] = {}
        for path in self._kept(len(self.tokens)):
            for cost, drafts in self._closed(path, len(self.tokens)):
                key = tuple(_meaning(draft) for draft in drafts)
                if key not in found or found[key][0] > cost:
                    found[key] = (cost, drafts)
        return sorted(found.values(), key=lambda way: way[0])

    def _led(self, at: int, end: int, longer: Path) -> bool:
        """Put the path to a new clause where it begins; True if that is here, with nothing to part it from the last."""
        if end != at:
            self.paths[end].append(longer)
        return end == at

    def _kept(self, at: int) -> list[Path]:
        """The paths worth going on with: of those alike in what is being said now only the best few."""
        kept: list[Path] = []
        alike: dict[Any, int] = {}
        begun: dict[tuple[int, bool], int] = {}
        paths = sorted(self.paths[at], key=_cost)
        for path in paths:
            if path.cost > paths[0].cost + SLACK or len(kept) == WIDTH:
                break
            now = path.now
            key = (path.state, now.begin, now.parts, now.flags, now.text, now.unread, path.role, path.mending)
            began = now.begin, now.text is not None
            if begun.get(began, 0) == (FEW if began[1] else FRESH):
                continue  # so that a clause just begun is not crowded out by many ways to go on with the last
            if alike.get(key, 0) < ALIKE and not any(path.done == other.done for other in kept if _same_now(path, other)):
                alike[key] = alike.get(key, 0) + 1
                begun[began] = begun.get(began, 0) + 1
                kept.append(path)
        return kept

    def _steps(self, at: int, path: Path) -> Iterator[tuple[int, Path]]:
        column = self.chart.columns[at]
        yield from self._words(at, path)
        for type_ in self.parts & column.keys():
            for edge in column[type_].values():
                longer = self._phrase(path, type_, edge)
                if longer is not None:
                    yield edge.end, longer
        passes = self._passed[at]
        beside = BESIDE_TEXT if self._text_due(path.state) else 0.0
        for end, cost, role in passes:
            cost += beside
            yield end, replace(path, cost=path.cost + cost, role=role)
        for edge in column.get("FLAG", {}).values():
            now = replace(path.now, flags=path.now.flags | {edge.value})
            yield edge.end, replace(path, cost=path.cost + edge.cost + MOOD, now=now, role=None)
        for edge in column.get("REPAIR", {}).values():
            if path.now.parts:
                yield edge.end, replace(path, cost=path.cost + edge.cost, mending=True, role=None)
        yield from self._text(at, path)
        if not passes and "FLAG" not in column:
            cost = KNOWN if any(symbol != "WORD" for symbol in column) else UNKNOWN
            now = replace(path.now, unread=(*path.now.unread, at))
            yield at + 1, replace(path, cost=path.cost + cost, now=now, role=None)

    def _words(self, at: int, path: Path) -> Iterator[tuple[int, Path]]:
        """The next word of the clause's skeleton: a word of the line, or a phrase that the skeleton names."""
        steps = self.skeleton.steps(path.state)
        for (end, cost, repair), symbols in self._own[at].items():
            led = symbols & steps
            if led:
                yield end, self._word(at, path, led, cost, repair)
        for symbol in self._named[at] & steps:
            for edge in self.chart.columns[at][symbol].values():
                state = self.skeleton.follow(path.state, frozenset((symbol,)))
                now = replace(path.now, parts=(*path.now.parts, Taken(symbol, edge, path.role)))
                yield edge.end, replace(path, cost=path.cost + edge.cost, state=state, now=now, role=None)

    def _word(self, at: int, path: Path, symbols: frozenset[str], cost: float, repair: str | None) -> Path:
        now = path.now
        if repair:
            now = replace(now, repairs=(*now.repairs, repair))
        if not now.asking and (symbols & self.asking["anywhere"] or self._opens(at, path, symbols)):
            now = replace(now, asking=True)
        if path.state == START and path.done:
            cost += EARLY * len(now.parts)
        return replace(path, cost=path.cost + cost, state=self.skeleton.follow(path.state, symbols), now=now, role=None)

    def _opens(self, at: int, path: Path, symbols: frozenset[str]) -> bool:
        """Whether a word such as "is" or "did" stands before what it is about ("did we weed", not "we did weed")."""
        if not symbols & self.asking["first"] or any(part.type != "when" for part in path.now.parts):
            return False
        if self.tokens[at].text in ("have", "has", "had", "got"):  # "have we", not "have to"
            if at + 1 < len(self.tokens) and self.tokens[at + 1].text in ("to", "been"):
                return False
        return at == 0 or self.tokens[at - 1].text not in SUBJECTS

    def _phrase(self, path: Path, type_: str, edge: Edge) -> Path | None:
        now = path.now
        parts = now.parts
        held = next((part for part in parts if part.type == type_), None)
        back = 0.0
        if held is not None:
            if not path.mending and type_ not in self.frames.many:
                return None
            if path.mending:
                parts = tuple(part for part in parts if part is not held)
                back = held.edge.cost + PHRASE  # what was taken back costs nothing
        elif path.mending and not self.frames.mends(type_):
            return None
        now = replace(now, parts=(*parts, Taken(type_, edge, path.role)))
        cost = path.cost - back + edge.cost + PHRASE + (BESIDE_TEXT if self._text_due(path.state) else 0.0)
        return replace(path, cost=cost, now=now, role=None, mending=False)

    def _text_due(self, state: int) -> bool:
        """Whether free text has to come next ("add crop ..."), not only may."""
        return state != START and "TEXT" in self.skeleton.steps(state) and not self.skeleton.acts(state)

    def _text(self, at: int, path: Path) -> Iterator[tuple[int, Path]]:
        text = path.now.text
        word = TEXT if self.tokens[at].text[0].isalpha() else TEXT + BESIDE_TEXT
        if text is not None and text[1] == at:
            yield at + 1, replace(path, cost=path.cost + word, now=replace(path.now, text=(text[0], at + 1)))
        steps = self.skeleton.steps(path.state)
        if "REST" in steps:
            state = self.skeleton.follow(path.state, frozenset(("REST",)))
            yield len(self.tokens), replace(path, state=state, now=replace(path.now, text=(at, len(self.tokens))), role=None, cost=path.cost + REST * (len(self.tokens) - at))
        if "TEXT" in steps and text is None:
            state = self.skeleton.follow(path.state, frozenset(("TEXT",)))
            now = replace(path.now, text=(at, at + 1))
            yield at + 1, replace(path, cost=path.cost + word, state=state, now=now, role=None)

    def _next_clause(self, at: int, path: Path) -> Iterator[tuple[int, Path]]:
        """Close the clause before word `at`, at a joiner or (dearer) at nothing, and begin the next."""
        if at == path.now.begin:
            return
        column = self.chart.columns[at]
        ends = [(edge.end, PARTING[symbol]) for symbol in JOINERS for edge in column.get(symbol, {}).values()]
        ends.append((at, RUN_ON))
        closed = list(self._closed(path, at))
        best = min((cost for cost, _ in closed), default=0.0)
        for cost, drafts in closed:
            if cost > best + DOUBT:
                continue
            for end, parting in ends:
                if end == at and (not self._may_begin(at) or (drafts and drafts[-1].flags & UNSURE)):
                    continue  # "never got around to" belongs to what follows
                if end == at and drafts and drafts[-1].act in TALK:
                    parting = PARTING["JOINER"]
                yield end, Path(cost + parting, START, Draft(end, end, abrupt=end == at), drafts)

    def _may_begin(self, at: int) -> bool:
        """Whether a clause can begin at this word with nothing before it: it has a skeleton word or a phrase here."""
        column = self.chart.columns[at]
        return any(symbol in column for symbol in self.skeleton.steps(START)) or any(t in column for t in self.parts)

    def _closed(self, path: Path, end: int) -> Iterator[tuple[float, tuple[Draft, ...]]]:
        now = replace(path.now, end=end)
        if path.state == START:
            if not now.parts and not now.unread and not now.flags:
                yield path.cost, path.done
            elif now.parts:
                yield path.cost + FRAGMENT + (ABRUPT if now.abrupt else 0.0), (*path.done, now)
            else:
                yield path.cost, (*path.done, now)
            return
        marked = end < len(self.tokens) and self.tokens[end].text == "?"
        for act, rule_cost in self.skeleton.acts(path.state):
            cost = rule_cost + self.frames.cost(act, [part.type for part in now.parts], now.flags, follows=bool(path.done), marked=marked)
            cost += self.frames.mood(act, now.asking, marked, now.flags)
            yield path.cost + cost, (*path.done, replace(now, act=act, cost=cost))


def _best(paths: list[Path]) -> list[Path]:
    """The cheapest few ways to come to a clause that begins at once after another."""
    return sorted(paths, key=_cost)[:FEW]


def _own_words(column: Column) -> dict[tuple[int, float, str | None], frozenset[str]]:
    """The words that begin at a place: (where they end, cost, repair) -> all that they can be."""
    found: dict[tuple[int, float, str | None], set[str]] = {}
    for symbol, edges in column.items():
        if not symbol[0].islower() and symbol[0] != "_":
            for edge in edges.values():
                found.setdefault((edge.end, edge.cost, edge.repair), set()).add(symbol)
    return {key: frozenset(symbols) for key, symbols in found.items()}


def _passes(column: Column) -> tuple[tuple[int, float, str | None], ...]:
    """The ways to pass over small words at a place: (end, cost, role that the next phrase gets)."""
    found: dict[int, tuple[float, str | None]] = {}
    for symbol, cost in PASSED.items():
        for edge in column.get(symbol, {}).values():
            role = edge.value if symbol == "PREP" else None
            known = found.get(edge.end)
            if known is None or cost + edge.cost < known[0] or (role and not known[1]):
                found[edge.end] = (cost + edge.cost, role)
    return tuple((end, cost, role) for end, (cost, role) in found.items())


def _cost(path: Path) -> float:
    return path.cost


def _same_now(path: Path, other: Path) -> bool:
    return path.state == other.state and path.role == other.role and path.mending == other.mending and path.now == other.now


def _meaning(draft: Draft) -> Any:
    return (draft.act, frozenset((part.type, part.edge.value) for part in draft.parts), draft.flags, draft.text, draft.unread)
