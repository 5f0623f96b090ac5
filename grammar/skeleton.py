"""What makes a clause a statement or a question of one kind: its own words, in order, with anything floating between.

"ran the drip on gate one for thirty minutes" and "gate one, thirty minutes, ran the drip" have one skeleton,
"ran drip". A word of a line may be several symbols at once, so a clause is in several nodes of the automaton at once:
such a set of nodes is a state, made as lines need it.
"""

from __future__ import annotations

from collections.abc import Iterable

from grammar.automaton import Automaton

START = 0

Acts = tuple[tuple[str, float], ...]


class Skeleton:
    """Walks all clauses at once: states are numbers, `START` before any word."""

    def __init__(self, automaton: Automaton) -> None:
        self._automaton = automaton
        self.phrases = automaton.phrases  # symbols that are phrases
        self.words = frozenset(symbol for step in automaton.steps for symbol in step) - self.phrases
        self._nodes: list[frozenset[int]] = []
        self._numbers: dict[frozenset[int], int] = {}
        self._steps: list[frozenset[str]] = []
        self._acts: list[Acts] = []
        self._followed: dict[tuple[int, frozenset[str]], int] = {}
        self._before: dict[str, frozenset[str]] = {}
        self._number(frozenset(automaton.begins))

    def steps(self, state: int) -> frozenset[str]:
        """The symbols that lead on from `state`."""
        return self._steps[state]

    def acts(self, state: int) -> Acts:
        """What a clause that ends in `state` may be, each with the cost of its rule."""
        return self._acts[state]

    def follow(self, state: int, symbols: frozenset[str]) -> int:
        """The state after a word that can be any of `symbols`, all of which must lead on from `state`."""
        target = self._followed.get((state, symbols))
        if target is None:
            steps = [self._automaton.steps[node] for node in self._nodes[state]]
            nodes = frozenset(step[symbol] for step in steps for symbol in symbols & step.keys())
            target = self._followed[state, symbols] = self._number(nodes)
        return target

    def text_due(self, state: int) -> bool:
        """Whether free text has to come next ("add crop ..."), not only may."""
        return state != START and "TEXT" in self._steps[state] and not self._acts[state]

    def before(self, symbol: str) -> frozenset[str]:
        """The symbols right after which `symbol` may come."""
        if symbol not in self._before:
            steps = self._automaton.steps
            ready = {node for node, step in enumerate(steps) if symbol in step}
            self._before[symbol] = frozenset(name for step in steps for name, to in step.items() if to in ready)
        return self._before[symbol]

    def _number(self, nodes: frozenset[int]) -> int:
        known = self._numbers.get(nodes)
        if known is None:
            known = self._numbers[nodes] = len(self._nodes)
            self._nodes.append(nodes)
            self._steps.append(frozenset().union(*(self._automaton.steps[node] for node in nodes)))
            self._acts.append(_cheapest(self._automaton.ends[node] for node in nodes if node in self._automaton.ends))
        return known


def _cheapest(acts: Iterable[tuple[str, float]]) -> Acts:
    best: dict[str, float] = {}
    for act, cost in acts:
        best[act] = min(cost, best.get(act, cost))
    return tuple(sorted(best.items()))
