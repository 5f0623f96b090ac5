"""The phrase files, read by lark, as plain nested data.

Lark reads the files with its own grammar for grammars. What comes out is only strings, numbers and tuples, so that the
compiled form can be kept as JSON between starts. The matching itself is ours (`chart.py`, `skeleton.py`), because a
grower's line is a lattice of possible words with costs, and what a clause says may float in any order around its verb.

A node is ("word", symbol), ("all", node, ...) in order, ("any", node, ...) one of, ("opt" | "star" | "plus", node).
A literal's symbol is "=" and its words ("=make that"); a category's is its name in capitals; a rule's its own name.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from functools import cache
from itertools import chain, product
from typing import TYPE_CHECKING, Any, NamedTuple

from grammar.data import phrase_files, tables

if TYPE_CHECKING:
    from lark import Tree

Node = tuple[Any, ...]
Symbols = tuple[str, ...]
STEP = 0.25  # the cost of one step of negative priority (`name.-2: ...` costs two)

# Categories that come from the tokens themselves or from the farm's names, not from a word list.
BUILT_IN = frozenset(
    (
        "INTEGER",
        "DECIMAL",
        "ORDINAL",
        "PLOT",
        "CROP",
        "CUSTOMER",
        "VARIETY",
        "PERSON",
        "FILE",
        "LOT",
        "LABEL",
        "WORD",
        "TEXT",
        "REST",
    )
)


@dataclass(frozen=True, slots=True)
class Definition:
    """A rule of the phrase files: its alternatives as (node, action), and its cost."""

    name: str
    alternatives: tuple[tuple[Node, str], ...]
    cost: float = 0.0


class Rule(NamedTuple):
    """`name` can be the sequence `symbols`, whose values (literal words have none) go to the builder `action`."""

    name: str
    symbols: Symbols
    action: str
    cost: float


class BrokenGrammar(Exception):  # noqa: N818  named after the situation
    """A phrase file that is not well formed: a name that nothing defines, or a rule said twice."""


@dataclass(frozen=True)
class Definitions:
    """All rules of the phrase files by name."""

    by_name: dict[str, Definition]
    literals: frozenset[str] = field(default=frozenset())

    def reachable(self, starts: Iterable[str]) -> list[Definition]:
        """The rules that are used, directly or not, by those named."""
        found: dict[str, Definition] = {}
        agenda = list(starts)
        while agenda:
            name = agenda.pop()
            if name in self.by_name and name not in found:
                found[name] = self.by_name[name]
                for node, _ in found[name].alternatives:
                    agenda.extend(symbols_of(node))
        return list(found.values())


def symbols_of(node: Node) -> Iterator[str]:
    """Every symbol named in a node."""
    if node[0] == "word":
        yield node[1]
    else:
        for child in node[1:]:
            yield from symbols_of(child)


@cache
def definitions() -> Definitions:
    """The phrase files, checked; raises lark's errors for bad syntax and BrokenGrammar for bad names."""
    return define(phrase_files())


def define(files: dict[str, str]) -> Definitions:
    """The rules in `files` (name -> text in lark's grammar language)."""
    from lark import Lark

    reader = Lark.open_from_package("lark", "lark.lark", ["grammars"], parser="lalr")
    found: dict[str, Definition] = {}
    for name, text in files.items():
        for tree in reader.parse(text + "\n").find_data("rule"):
            definition = _definition(tree)
            known = found.get(definition.name)
            if known is not None and definition.name != "clause":
                raise BrokenGrammar(f"{name}: {definition.name} is defined twice")
            if known is not None:  # every file adds its own kinds of clause
                definition = Definition("clause", known.alternatives + definition.alternatives)
            found[definition.name] = definition
    literals = _checked(found)
    return Definitions(found, literals)


def _checked(found: dict[str, Definition]) -> frozenset[str]:
    categories = {category for words in tables().values() for category in words} | BUILT_IN
    literals = set()
    for definition in found.values():
        for node, _ in definition.alternatives:
            for symbol in symbols_of(node):
                if symbol.startswith("="):
                    literals.add(symbol)
                elif symbol not in found and symbol not in categories:
                    raise BrokenGrammar(f"{definition.name} names {symbol}, which nothing defines")
    return frozenset(literals)


def _definition(tree: Tree[Any]) -> Definition:
    name, _params, *priority, body = tree.children
    cost = max(0, -int(str(priority[0].children[0]))) * STEP if priority else 0.0
    bare = str(name).lstrip("?!")
    branches = body.children if body.data == "expansions" else [body]
    return Definition(bare, tuple(_alternative(branch, bare) for branch in branches), cost)


def _alternative(tree: Tree[Any], name: str) -> tuple[Node, str]:
    """An alternative and its action: the alias, or the rule's own name."""
    if tree.data == "alias":
        body, alias = tree.children
        return _node(body), str(alias) if alias else name
    return _node(tree), name


def _node(tree: Tree[Any]) -> Node:
    match tree.data:
        case "expansions":
            return ("any", *(_node(child) for child in tree.children))
        case "alias":
            if tree.children[1] is not None:
                raise BrokenGrammar(f"-> {tree.children[1]}: an alias belongs to a rule's own alternative")
            return _node(tree.children[0])
        case "expansion":
            children = [_node(child) for child in tree.children]
            return children[0] if len(children) == 1 else ("all", *children)
        case "expr":
            inner, operator = _node(tree.children[0]), tree.children[1]
            kind = {"?": "opt", "*": "star", "+": "plus"}.get(str(operator)) if operator else None
            return (kind, inner) if kind else inner
        case "maybe":
            return ("opt", _node(tree.children[0]))
        case "literal":
            return ("word", _literal(str(tree.children[0])))
        case "name" | "nonterminal" | "terminal" | "value":
            child = tree.children[0]
            return _node(child) if hasattr(child, "data") else ("word", str(child))
        case other:
            raise BrokenGrammar(f"{other} is not used in phrase files")


def _literal(written: str) -> str:
    if not (written.startswith('"') and written.endswith('"')):
        raise BrokenGrammar(f"{written}: only plain words in quotes are used in phrase files")
    return "=" + written[1:-1].lower()


# ---- flat rules for the chart ---------------------------------------------------------------------------------------


def flatten(defined: Iterable[Definition]) -> list[Rule]:
    """Each definition as sequences of symbols; groups and repeats become nameless rules of their own."""
    flat = _Flat()
    for definition in defined:
        flat.lay(definition)
    return flat.rules


class _Flat:
    """Rules without choices inside, as they are laid out one after another."""

    def __init__(self) -> None:
        self.rules: list[Rule] = []
        self._groups: Counter[str] = Counter()  # nameless rules made for each name

    def lay(self, definition: Definition) -> None:
        for node, action in definition.alternatives:
            for symbols in self._sequences(node, definition.name):
                if symbols:
                    self.rules.append(Rule(definition.name, symbols, action, definition.cost))

    def _sequences(self, node: Node, name: str) -> list[Symbols]:
        """The ways to write `node` without choices inside; what is nested becomes a rule of its own."""
        match node[0]:
            case "word":
                return [(node[1],)]
            case "all":
                parts = [self._sequences(child, name) for child in node[1:]]
                return list(dict.fromkeys(tuple(chain.from_iterable(choice)) for choice in product(*parts)))
            case "any":
                return [(self._group(node[1:], name),)]
            case "opt":
                return [(), *self._sequences(node[1], name)]
            case "plus":
                return [(self._repeated(node[1], name),)]
            case _:
                return [(), (self._repeated(node[1], name),)]

    def _group(self, choices: tuple[Node, ...], name: str) -> str:
        self._groups[name] += 1
        own = f"_{name}_{self._groups[name]}"
        for choice in choices:
            for symbols in self._sequences(choice, name):
                if not symbols:
                    raise BrokenGrammar(f"{name}: a choice that may be empty; put the ? outside")
                self.rules.append(Rule(own, symbols, own, 0.0))
        return own

    def _repeated(self, node: Node, name: str) -> str:
        one = self._group((node,), name)
        many = f"{one}_more"
        self.rules += [
            Rule(many, (one,), many, 0.0),
            Rule(many, (many, one), many, 0.0),
        ]
        return many
