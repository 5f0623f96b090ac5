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


@dataclass(frozen=True, slots=True)
class Edge:
    """`symbol` from word `start` up to word `end` (not included) with this meaning; cost 0 is "exactly as said"."""

    symbol: str
    start: int
    end: int
    value: Any
    cost: float
    repair: str | None = None  # the word it was taken for, where a spelling was repaired


class Grammar:
    """Rules indexed for the chart, with the builders that turn children into meanings."""

    def __init__(self, rules: Iterable[Rule], builders: Mapping[str, Builder]) -> None:
        self.builders = builders
        self.by_first: dict[str, list[Rule]] = {}
        for rule in rules:
            self.by_first.setdefault(rule.symbols[0], []).append(rule)

    def build(self, rule: Rule, values: list[Any]) -> Any:
        """The meaning of a rule whose children mean `values`; None if they make no sense together."""
        builder = self.builders.get(rule.action)
        if builder is not None:
            return builder(*values)
        if rule.name.startswith("_"):
            return Splice(values)
        return values[0] if len(values) == 1 else tuple(values)


class Splice(tuple[Any, ...]):
    """Values of a nameless rule, to be laid into the rule that uses it."""

    __slots__ = ()


Column = dict[str, dict[tuple[int, Any], Edge]]


class Chart:
    """All phrases of one line; `skips[i]` is the word after the fillers that begin at word i."""

    def __init__(self, grammar: Grammar, words: list[list[Edge]], skips: list[int]) -> None:
        self.grammar = grammar
        self.skips = skips
        self.columns: list[Column] = [{} for _ in range(len(words) + 1)]
        for start in range(len(words) - 1, -1, -1):
            self._fill(start, words[start])

    def _fill(self, start: int, words: list[Edge]) -> None:
        column = self.columns[start]
        agenda = list(words)
        while agenda:
            edge = agenda.pop()
            entries = column.setdefault(edge.symbol, {})
            key = (edge.end, edge.value)
            known = entries.get(key)
            if known is not None and known.cost <= edge.cost:
                continue
            entries[key] = edge
            for rule in self.grammar.by_first.get(edge.symbol, ()):
                agenda.extend(self._complete(rule, edge))

    def _complete(self, rule: Rule, first: Edge) -> Iterator[Edge]:
        values = _laid([], first.value, rule.keep[0])
        for end, found, cost, repair in self._rest(rule, 1, first.end, values, first.cost, first.repair):
            value = self.grammar.build(rule, found)
            if value is not None:
                yield Edge(rule.name, first.start, end, value, cost + rule.cost, repair)

    def _rest(
        self, rule: Rule, dot: int, at: int, values: list[Any], cost: float, repair: str | None
    ) -> Iterator[tuple[int, list[Any], float, str | None]]:
        if dot == len(rule.symbols):
            yield at, values, cost, repair
            return
        symbol = rule.symbols[dot]
        for place in {at, self.skips[at]}:
            for edge in list(self.columns[place].get(symbol, {}).values()):
                laid = _laid(values, edge.value, rule.keep[dot])
                total = cost + edge.cost + 0.05 * (place - at)
                yield from self._rest(rule, dot + 1, edge.end, laid, total, repair or edge.repair)

    def edges(self, start: int, symbol: str) -> Iterator[Edge]:
        """The phrases called `symbol` that begin at word `start`."""
        return iter(self.columns[start].get(symbol, {}).values())


def _laid(values: list[Any], value: Any, keep: bool) -> list[Any]:
    if not keep:
        return values
    return [*values, *value] if isinstance(value, Splice) else [*values, value]
