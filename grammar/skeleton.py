"""What makes a clause a statement or a question of one kind: its own words, in order, with anything floating between.

"ran the drip on gate one for thirty minutes" and "gate one, thirty minutes, ran the drip" have one skeleton,
"ran drip".
The rules under `clause` become one automaton over the words of the lattice; it is made deterministic as lines need it.
"""

from __future__ import annotations

from grammar.rules import Definitions, Node

START = 0


class Skeleton:
    """A deterministic automaton, made lazily: states are numbers, `START` before any word."""

    def __init__(self, definitions: Definitions) -> None:
        self._definitions = definitions
        self._next: list[list[tuple[str, int]]] = []
        self._empty: list[list[int]] = []
        self._acts: dict[int, tuple[str, float]] = {}
        self.phrases: set[str] = set()  # rules met that the chart finds: single steps here
        self._due: dict[int, bool] = {}
        self._before: dict[str, frozenset[str]] = {}
        begin = self._node()
        for node, _ in definitions.by_name["clause"].alternatives:
            self._act(node[1], begin)
        self.words = frozenset(name for steps in self._next for name, _ in steps if name not in self.phrases)
        self._sets: list[frozenset[int]] = [self._closed({begin})]
        self._numbers = {self._sets[0]: START}
        self._steps: list[frozenset[str]] = []
        self._followed: dict[tuple[int, frozenset[str]], int] = {}
        self._accepted: list[tuple[tuple[str, float], ...]] = []
        self._describe(START)

    def _act(self, name: str, begin: int) -> None:
        definition = self._definitions.by_name[name]
        end = self._node()
        for node, _ in definition.alternatives:
            self._empty[self._lay(node, begin)].append(end)
        self._acts[end] = (
            name.partition("__")[0].removeprefix("ask_"),
            definition.cost,
        )

    def steps(self, state: int) -> frozenset[str]:
        """The symbols that lead on from `state`."""
        return self._steps[state]

    def acts(self, state: int) -> tuple[tuple[str, float], ...]:
        """What a clause that ends in `state` may be, each with the cost of its rule."""
        return self._accepted[state]

    def follow(self, state: int, symbols: frozenset[str]) -> int:
        """The state after a word that can be any of `symbols`, all of which must lead on from `state`."""
        target = self._followed.get((state, symbols))
        if target is None:
            nodes = {end for node in self._sets[state] for name, end in self._next[node] if name in symbols}
            target = self._followed[state, symbols] = self._number(self._closed(nodes))
        return target

    def before(self, symbol: str) -> frozenset[str]:
        """The symbols right after which `symbol` may come."""
        if symbol not in self._before:
            self._before[symbol] = self._leading_to(symbol)
        return self._before[symbol]

    def _leading_to(self, symbol: str) -> frozenset[str]:
        found = set()
        for steps in self._next:
            for name, end in steps:
                if any(then == symbol for node in self._closed({end}) for then, _ in self._next[node]):
                    found.add(name)
        return frozenset(found)

    def text_due(self, state: int) -> bool:
        """Whether free text has to come next ("add crop ..."), not only may."""
        due = self._due.get(state)
        if due is None:
            due = self._due[state] = state != START and "TEXT" in self.steps(state) and not self.acts(state)
        return due

    def _number(self, nodes: frozenset[int]) -> int:
        known = self._numbers.get(nodes)
        if known is None:
            known = self._numbers[nodes] = len(self._sets)
            self._sets.append(nodes)
            self._describe(known)
        return known

    def _describe(self, state: int) -> None:
        nodes = self._sets[state]
        self._steps.append(frozenset(name for node in nodes for name, _ in self._next[node]))
        best: dict[str, float] = {}
        for node in nodes & self._acts.keys():
            act, cost = self._acts[node]
            best[act] = min(cost, best.get(act, cost))
        self._accepted.append(tuple(sorted(best.items())))

    def _closed(self, nodes: set[int]) -> frozenset[int]:
        found, agenda = set(nodes), list(nodes)
        while agenda:
            for node in self._empty[agenda.pop()]:
                if node not in found:
                    found.add(node)
                    agenda.append(node)
        return frozenset(found)

    def _node(self) -> int:
        self._next.append([])
        self._empty.append([])
        return len(self._next) - 1

    def _lay(self, node: Node, begin: int) -> int:
        """Lay `node` into the automaton from `begin`; its end."""
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
                    self._empty[self._lay(child, begin)].append(end)
                return end
            case "opt":
                end = self._lay(node[1], begin)
                self._empty[begin].append(end)
                return end
            case _:  # star, plus: a loop
                enter = self._node()
                self._empty[begin].append(enter)
                end = self._lay(node[1], enter)
                self._empty[end].append(enter)
                return enter if node[0] == "star" else end

    def _word(self, symbol: str, begin: int) -> int:
        if symbol.startswith("_") and symbol in self._definitions.by_name:
            return self._lay(
                (
                    "any",
                    *(node for node, _ in self._definitions.by_name[symbol].alternatives),
                ),
                begin,
            )
        end = self._node()
        self._next[begin].append((symbol, end))
        if symbol in self._definitions.by_name:
            self.phrases.add(symbol)
        return end
