"""Find every phrase inside a line: amounts, beds, days, names, each with its place, meaning and cost.

The chart is filled from the last word to the first, so that when a phrase starting at a word is looked for, all that
may follow is known already. Phrases of one meaning over the same words are one entry, at the lowest cost.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from grammar.rules import Rule

Builder = Callable[..., Any]

SKIPPED = 0.05  # a filler within a phrase, for each of its words
LONGEST = 48  # words of the longest phrase looked for


@dataclass(slots=True, eq=False)
class Edge:
    """`symbol` from word `start` up to word `end` (not included) with this meaning; cost 0 is "exactly as said".

    Not changed once made; two of them are the same only if they are one object.
    """

    symbol: str
    start: int
    end: int
    value: Any
    cost: float
    repair: str | None = None  # the word it was taken for, where a spelling was repaired


@dataclass(frozen=True, slots=True)
class Ending:
    """The end of a rule: what has been found is `name`, its meaning made by `build`."""

    name: str
    build: Builder
    cost: float


class Branch:
    """A place in the tree of all rules: which symbols may come next, which rules end here."""

    __slots__ = ("endings", "following")

    def __init__(self) -> None:
        self.following: dict[str, Branch] = {}
        self.endings: list[Ending] = []

    def after(self, symbol: str) -> Branch:
        return self.following.setdefault(symbol, Branch())


class Grammar:
    """Rules as a tree by their symbols, with the builders that turn children into meanings."""

    def __init__(self, rules: Iterable[Rule], builders: Mapping[str, Builder]) -> None:
        self.root = Branch()
        for rule in rules:
            branch = self.root
            for symbol in rule.symbols:
                branch = branch.after(symbol)
            branch.endings.append(
                Ending(
                    rule.name,
                    builders.get(rule.action) or _plain_builder(rule),
                    rule.cost,
                )
            )


class Splice(tuple[Any, ...]):
    """Values of a nameless rule, to be laid into the rule that uses it."""

    __slots__ = ()


def _spliced(*values: Any) -> Splice:
    return Splice(values)


def _as_it_is(*values: Any) -> Any:
    return values[0] if len(values) == 1 else values


def _plain_builder(rule: Rule) -> Builder:
    """What stands for a builder where none is written: the children's values as they are."""
    return _spliced if rule.name.startswith("_") else _as_it_is


Column = dict[str, dict[tuple[int, Any], Edge]]
Found = tuple[int, tuple[Any, ...], float, str | None]  # where it ends, its children's values, its cost, its repair


class Chart:
    """All phrases of one line; `skips[i]` is the word after the fillers that begin at word i."""

    def __init__(self, grammar: Grammar, words: list[list[Edge]], skips: list[int]) -> None:
        self.skips = skips
        self.columns: list[Column] = [{} for _ in range(len(words) + 1)]
        for start in range(len(words) - 1, -1, -1):
            self._fill(start, words[start], grammar.root.following)

    def edges(self, start: int, symbol: str) -> Iterator[Edge]:
        """The phrases called `symbol` that begin at word `start`."""
        return iter(self.columns[start].get(symbol, {}).values())

    def _fill(self, start: int, words: list[Edge], rules: dict[str, Branch]) -> None:
        column = self.columns[start]
        agenda = list(words)
        while agenda:
            edge = agenda.pop()
            entries = column.get(edge.symbol)
            if entries is None:
                entries = column[edge.symbol] = {}
            key = (edge.end, edge.value)
            known = entries.get(key)
            if known is not None and known.cost <= edge.cost:
                continue
            entries[key] = edge
            branch = rules.get(edge.symbol)
            if branch is not None:
                self._grow(
                    branch,
                    start,
                    (edge.end, _laid((), edge), edge.cost, edge.repair),
                    agenda,
                )

    def _grow(self, branch: Branch, start: int, found: Found, agenda: list[Edge]) -> None:
        """Put on the agenda what the symbols found so far, the way to `branch`, are or are the beginning of."""
        at, values, cost, repair = found
        for ending in branch.endings:
            value = ending.build(*values)
            if value is not None:
                agenda.append(Edge(ending.name, start, at, value, cost + ending.cost, repair))
        if not branch.following:
            return
        skipped = self.skips[at]
        for place in (at,) if skipped == at else (at, skipped):
            column = self.columns[place]
            leading_on = branch.following.keys() & column.keys()
            if not leading_on:  # so it is with most
                continue
            gap = cost + SKIPPED * (place - at)
            for symbol in sorted(leading_on):
                longer = branch.following[symbol]
                for edge in column[symbol].values():
                    if edge.end - start <= LONGEST:
                        more = edge.end, _laid(values, edge), gap + edge.cost, repair or edge.repair
                        self._grow(longer, start, more, agenda)


def _laid(values: tuple[Any, ...], edge: Edge) -> tuple[Any, ...]:
    """The values with one more: that of a literal word is nothing, that of a nameless rule is laid in."""
    if edge.symbol[0] == "=":
        return values
    return (*values, *edge.value) if isinstance(edge.value, Splice) else (*values, edge.value)
