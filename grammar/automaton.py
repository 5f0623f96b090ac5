"""The words that make a clause, from the phrase files: for each act the least automaton that takes its sequences.

The automaton is plain data (numbers, symbols), so that it can be kept between starts. Nodes are numbered through all
acts; an act begins in a node of its own.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from grammar.rules import BrokenGrammar, Definition, Definitions, Node

Steps = dict[str, int]  # symbol -> the node that it leads to


@dataclass(frozen=True, slots=True)
class Automaton:
    """Where clauses begin, which symbols lead on from each node, and what a clause that ends in a node may be."""

    begins: tuple[int, ...]
    steps: tuple[Steps, ...]
    ends: dict[int, tuple[str, float]]  # node -> act and the cost of its rule
    phrases: frozenset[str]  # symbols that are rules, found by the chart; all others are words


def automaton(definitions: Definitions) -> Automaton:
    """The automaton of all the rules under `clause`. A rule called act__something is a weaker way to say `act`."""
    begins: list[int] = []
    steps: list[Steps] = []
    ends: dict[int, tuple[str, float]] = {}
    for node, _ in definitions.by_name["clause"].alternatives:
        definition = definitions.by_name[node[1]]
        own_steps, own_ends = _least(*_determined(_Net(definitions, definition)))
        first = len(steps)
        begins.append(first)
        steps.extend({symbol: to + first for symbol, to in sorted(step.items())} for step in own_steps)
        act = definition.name.partition("__")[0].removeprefix("ask_")
        ends.update({node + first: (act, definition.cost) for node in sorted(own_ends)})
    used = {symbol for step in steps for symbol in step}
    return Automaton(tuple(begins), tuple(steps), ends, frozenset(used & definitions.by_name.keys()))


class _Net:
    """The sequences of one definition as a net of nodes, in which several steps may have one symbol, or none."""

    def __init__(self, definitions: Definitions, definition: Definition) -> None:
        self._definitions = definitions
        self._inside: list[str] = []  # the nameless rules that are being laid
        self.steps: list[list[tuple[str, int]]] = []
        self.free: list[list[int]] = []  # steps without a symbol
        self.begin, self.end = self._node(), self._node()
        for node, _ in definition.alternatives:
            self.free[self._lay(node, self.begin)].append(self.end)

    def reached(self, nodes: Iterable[int]) -> frozenset[int]:
        """The nodes, and all that can be come to from them without a symbol."""
        found = set(nodes)
        agenda = list(found)
        while agenda:
            for node in self.free[agenda.pop()]:
                if node not in found:
                    found.add(node)
                    agenda.append(node)
        return frozenset(found)

    def _node(self) -> int:
        self.steps.append([])
        self.free.append([])
        return len(self.steps) - 1

    def _lay(self, node: Node, begin: int) -> int:
        """Lay `node` into the net from `begin`; where it ends."""
        match node[0]:
            case "word":
                return self._word(node[1], begin)
            case "all":
                for child in node[1:]:
                    begin = self._lay(child, begin)
                return begin
            case "any":
                end = self._node()
                for child in node[1:]:
                    self.free[self._lay(child, begin)].append(end)
                return end
            case "opt":
                end = self._lay(node[1], begin)
                self.free[begin].append(end)
                return end
            case _:
                return self._loop(node, begin)

    def _loop(self, node: Node, begin: int) -> int:
        enter = self._node()
        self.free[begin].append(enter)
        end = self._lay(node[1], enter)
        self.free[end].append(enter)
        return enter if node[0] == "star" else end

    def _word(self, symbol: str, begin: int) -> int:
        definition = self._definitions.by_name.get(symbol)
        if definition is not None and symbol.startswith("_"):
            return self._nameless(definition, begin)
        end = self._node()
        self.steps[begin].append((symbol, end))
        return end

    def _nameless(self, definition: Definition, begin: int) -> int:
        if definition.name in self._inside:
            raise BrokenGrammar(f"{definition.name} is used within itself in a clause; give it a name without _")
        self._inside.append(definition.name)
        end = self._lay(("any", *(node for node, _ in definition.alternatives)), begin)
        self._inside.pop()
        return end


def _determined(net: _Net) -> tuple[list[Steps], set[int]]:
    """The net with one step at most for a symbol: its nodes are sets of the net's. Node 0 is the beginning."""
    sets = [net.reached([net.begin])]
    numbers = {sets[0]: 0}
    steps: list[Steps] = []
    for nodes in sets:  # grows as it is walked
        targets: dict[str, set[int]] = {}
        for node in nodes:
            for symbol, to in net.steps[node]:
                targets.setdefault(symbol, set()).add(to)
        step: Steps = {}
        for symbol in sorted(targets):
            reached = net.reached(targets[symbol])
            if reached not in numbers:
                numbers[reached] = len(sets)
                sets.append(reached)
            step[symbol] = numbers[reached]
        steps.append(step)
    return steps, {number for nodes, number in numbers.items() if net.end in nodes}


def _least(steps: list[Steps], ends: set[int]) -> tuple[list[Steps], set[int]]:
    """The same with nodes merged from which the same sequences lead to an end."""
    kinds = [int(node in ends) for node in range(len(steps))]
    count = len(set(kinds))
    while True:
        signs: dict[tuple[int, tuple[tuple[str, int], ...]], int] = {}
        kinds = [
            signs.setdefault(
                (
                    kinds[node],
                    tuple((symbol, kinds[to]) for symbol, to in step.items()),
                ),
                len(signs),
            )
            for node, step in enumerate(steps)
        ]
        if len(signs) == count:
            break
        count = len(signs)
    merged: list[Steps] = [{} for _ in range(count)]
    for node, step in enumerate(steps):
        merged[kinds[node]] = {symbol: kinds[to] for symbol, to in step.items()}
    return merged, {kinds[node] for node in ends}
