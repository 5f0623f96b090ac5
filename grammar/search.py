"""The cheapest ways to take a whole line: which words make which clause, what floats in it, what was not understood.

A path walks the line from left to right. At each place it may take a word of its clause's skeleton, a phrase that
floats (beds, amounts, days), a small word that says nothing by itself, or the start of the next clause; each has its
cost. The cheapest paths that differ in meaning are the ways to take the line.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

from grammar.chart import Chart, Edge
from grammar.frames import Frames
from grammar.skeleton import START, Skeleton
from grammar.tokens import Token

WIDTH = 40  # paths kept at one place
SLACK = 4.0  # paths dearer than the best at their place by more than this are dropped

SMALL = 0.12  # a small word (the, of, we) passed over
FILLER = 0.02  # um, okay so, a comma
UNKNOWN = 2.2  # a word that nobody knows
KNOWN = 3.0  # a word with a meaning, left over
PHRASE = 0.1  # each phrase that floats: fewer, longer ones are better
RUN_ON = 0.7  # a new clause with nothing to part it from the last
FRAGMENT = 0.6  # a clause with no word of its own
TEXT = 0.9  # a word of free text
EARLY = 0.06  # a phrase before the first word of its clause, where it may as well belong to the clause before

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

    def __init__(self, tokens: list[Token], chart: Chart, skeleton: Skeleton, frames: Frames, parts: frozenset[str]):
        self.tokens = tokens
        self.chart = chart
        self.skeleton = skeleton
        self.frames = frames
        self.parts = parts
        self.paths: list[list[Path]] = [[] for _ in range(len(tokens) + 1)]

    def ways(self) -> list[tuple[float, tuple[Draft, ...]]]:
        """All ways kept, cheapest first, each meaning once."""
        self.paths[0].append(Path(0.0, START, Draft(0, 0)))
        for at in range(len(self.tokens)):
            for path in self._kept(at):
                for end, longer in self._steps(at, path):
                    self.paths[end].append(longer)
        found: dict[Any, tuple[float, tuple[Draft, ...]]] = {}
        for path in self._kept(len(self.tokens)):
            for cost, drafts in self._closed(path, len(self.tokens)):
                key = tuple(_meaning(draft) for draft in drafts)
                if key not in found or found[key][0] > cost:
                    found[key] = (cost, drafts)
        return sorted(found.values(), key=lambda way: way[0])

    def _kept(self, at: int) -> list[Path]:
        best: dict[Any, Path] = {}
        for path in self.paths[at]:
            key = (path.state, path.now.begin, path.now.parts, path.now.flags, path.now.text, path.now.unread,
                   path.role, path.mending, path.done)  # fmt: skip
            if key not in best or best[key].cost > path.cost:
                best[key] = path
        kept = sorted(best.values(), key=lambda path: path.cost)
        return [path for path in kept[:WIDTH] if path.cost <= kept[0].cost + SLACK]

    def _steps(self, at: int, path: Path) -> Iterator[tuple[int, Path]]:
        column = self.chart.columns[at]
        passed = False
        for symbol in self.skeleton.steps(path.state):
            for edge in list(column.get(symbol, {}).values()):
                yield edge.end, self._word(path, symbol, edge)
        for type_ in self.parts:
            for edge in column.get(type_, {}).values():
                longer = self._phrase(path, type_, edge)
                if longer is not None:
                    yield edge.end, longer
        for symbol, cost in (("FILLER", FILLER), ("COMMA", FILLER), ("SMALL", SMALL), ("CHATTER", SMALL)):
            for edge in column.get(symbol, {}).values():
                passed = True
                yield edge.end, replace(path, cost=path.cost + cost + edge.cost, role=path.role if symbol == "FILLER" else None)
        for edge in column.get("PREP", {}).values():
            passed = True
            yield edge.end, replace(path, cost=path.cost + SMALL, role=edge.value)
        for edge in column.get("FLAG", {}).values():
            now = replace(path.now, flags=path.now.flags | {edge.value})
            yield edge.end, replace(path, cost=path.cost + edge.cost, now=now, role=None)
        for edge in column.get("REPAIR", {}).values():
            if path.now.parts:
                yield edge.end, replace(path, cost=path.cost + edge.cost, mending=True, role=None)
        yield from self._text(at, path)
        yield from self._next_clause(at, path)
        if not passed:
            cost = KNOWN if any(symbol != "WORD" for symbol in column) else UNKNOWN
            now = replace(path.now, unread=(*path.now.unread, at))
            yield at + 1, replace(path, cost=path.cost + cost, now=now, role=None)

    def _word(self, path: Path, symbol: str, edge: Edge) -> Path:
        state = self.skeleton.follow(path.state, symbol)
        now = path.now
        cost = path.cost + edge.cost
        if symbol[0].islower():
            now = replace(now, parts=(*now.parts, Taken(symbol, edge, path.role)))
        elif edge.repair:
            now = replace(now, repairs=(*now.repairs, edge.repair))
        if path.state == START:
            cost += EARLY * len(now.parts) if path.done else 0.0
        return replace(path, cost=cost, state=state, now=now, role=None)

    def _phrase(self, path: Path, type_: str, edge: Edge) -> Path | None:
        now = path.now
        parts = now.parts
        held = next((part for part in parts if part.type == type_), None)
        if held is not None:
            if not path.mending and type_ not in self.frames.many:
                return None
            if path.mending:
                parts = tuple(part for part in parts if part is not held)
        elif path.mending and not self.frames.mends(type_):
            return None
        now = replace(now, parts=(*parts, Taken(type_, edge, path.role)))
        return replace(path, cost=path.cost + edge.cost + PHRASE, now=now, role=None, mending=False)

    def _text(self, at: int, path: Path) -> Iterator[tuple[int, Path]]:
        text = path.now.text
        if text is not None and text[1] == at:
            yield at + 1, replace(path, cost=path.cost + TEXT, now=replace(path.now, text=(text[0], at + 1)))
        if "TEXT" in self.skeleton.steps(path.state) and text is None:
            state = self.skeleton.follow(path.state, "TEXT")
            now = replace(path.now, text=(at, at + 1))
            yield at + 1, replace(path, cost=path.cost + TEXT, state=state, now=now, role=None)

    def _next_clause(self, at: int, path: Path) -> Iterator[tuple[int, Path]]:
        """Close the clause before word `at`, at a joiner or (dearer) at nothing, and begin the next."""
        if at == path.now.begin or path.mending:
            return
        column = self.chart.columns[at]
        ends = [(edge.end, PARTING[symbol]) for symbol in JOINERS for edge in column.get(symbol, {}).values()]
        ends.append((at, RUN_ON))
        for cost, drafts in self._closed(path, at):
            for end, parting in ends:
                if end == at and not self._may_begin(at):
                    continue
                yield end, Path(cost + parting, START, Draft(end, end), drafts)

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
                yield path.cost + FRAGMENT, (*path.done, now)
            else:
                yield path.cost, (*path.done, now)
            return
        for act, rule_cost in self.skeleton.acts(path.state):
            cost = rule_cost + self.frames.cost(act, [part.type for part in now.parts], now.flags)
            yield path.cost + cost, (*path.done, replace(now, act=act, cost=cost))


def _meaning(draft: Draft) -> Any:
    return (draft.act, frozenset((part.type, part.edge.value) for part in draft.parts), draft.flags, draft.text, draft.unread)
