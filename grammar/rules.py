"""The phrase files, read by lark, as plain nested data.

Lark reads the files with its own grammar for grammars. What comes out is only strings, numbers and tuples, so that the
compiled form can be kept as JSON between starts. The matching itself is ours (`chart.py`, `skeleton.py`), because a
grower's line is a lattice of possible words with costs, and what a clause says may float in any order around its verb.

A node is ("word", symbol), ("all", node, ...) in order, ("any", node, ...) one of, ("opt" | "star" | "plus", node).
A literal's symbol is "=" and its words ("=make that"); a category's is its name in capitals; a rule's its own name.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache
from itertools import product
from typing import TYPE_CHECKING, Any

from grammar.data import phrase_files, tables

if TYPE_CHECKING:
    from lark import Tree

Node = tuple[Any, ...]
STEP = 0.25  # the cost of one step of negative priority (`name.-2: ...` costs two)

# Categories that come from the tokens themselves or from the farm's names, not from a word list.
BUILT_IN = frozenset(
    ("INTEGER", "DECIMAL", "ORDINAL", "PLOT", "CROP", "CUSTOMER", "VARIETY", "PERSON", "WORD", "TEXT", "REST")
)


@dataclass(frozen=True, slots=True)
class Definition:
    """A rule of the phrase files: its alternatives as (node, action), and its cost."""

    name: str
    alternatives: tuple[tuple[Node, str], ...]
    cost: float = 0.0


@dataclass(frozen=True, slots=True)
class Rule:
    """`name` can be the sequence `symbols`; `keep` tells which of them give a value to the builder `action`."""

    name: str
    symbols: tuple[str, ...]
    keep: tuple[bool, ...]
    action: str
    cost: float


class BrokenGrammar(Exception):  # noqa: N818  named after the situation
    """A phrase file that is not well formed: a name that nothing defines, or a rule said twice."""


@dataclass(frozen=True)
class Definitions:
    """All rules of the phrase files by name."""

    by_name: dict[str, Definition]
    literals: frozenset[str] = field(default=frozenset())

    def reachable(self, starts: Iterator[str] | list[str]) -> list[Definition]:
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


def source_digest() -> str:
    """A key for the text of the grammar and its word lists."""
    text = "\0".join(f"{name}\0{body}" for name, body in sorted(phrase_files().items())) + repr(tables())
    return hashlib.sha256(text.encode()).hexdigest()


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
            return ("word", "=" + str(tree.children[0])[1:-1].lower())
        case "name" | "nonterminal" | "terminal" | "value":
            child = tree.children[0]
            return _node(child) if hasattr(child, "data") else ("word", str(child))
        case other:
            raise BrokenGrammar(f"{other} is not used in phrase files")


# ---- flat rules for the chart ---------------------------------------------------------------------------------------


def flatten(definitions_: list[Definition]) -> list[Rule]:
    """Each definition as sequences of symbols; groups and repeats become nameless rules of their own."""
    rules: list[Rule] = []
    for definition in definitions_:
        for node, action in definition.alternatives:
            for symbols in _sequences(node, definition.name, rules):
                if symbols:
                    rules.append(_rule(definition.name, symbols, action, definition.cost))  # noqa: PERF401  _sequences adds too
    return rules


def _rule(name: str, symbols: tuple[str, ...], action: str, cost: float) -> Rule:
    return Rule(name, symbols, tuple(not symbol.startswith("=") for symbol in symbols), action, cost)


def _sequences(node: Node, name: str, rules: list[Rule]) -> list[tuple[str, ...]]:
    """The ways to write `node` without choices inside; what is nested goes to `rules` under a name of its own."""
    match node[0]:
        case "word":
            return [(node[1],)]
        case "all":
            parts = [_sequences(child, name, rules) for child in node[1:]]
            return [sum(choice, ()) for choice in product(*parts)]
        case "any":
            return [(_named(node[1:], name, rules),)]
        case "opt":
            return [(), *_sequences(node[1], name, rules)]
        case "plus":
            return [(_repeated(node[1], name, rules),)]
        case _:
            return [(), (_repeated(node[1], name, rules),)]


def _named(choices: tuple[Node, ...], name: str, rules: list[Rule]) -> str:
    own = f"_{name}_{len(rules)}"
    rules.append(_rule(own, ("=\0",), own, 0.0))  # takes the number, so that names differ
    for choice in choices:
        for symbols in _sequences(choice, name, rules):
            if not symbols:
                raise BrokenGrammar(f"{name}: a choice that may be empty; put the ? outside")
            rules.append(_rule(own, symbols, own, 0.0))
    return own


def _repeated(node: Node, name: str, rules: list[Rule]) -> str:
    one = _named((node,), name, rules)
    many = f"{one}_more"
    rules.append(_rule(many, (one,), many, 0.0))
    rules.append(_rule(many, (many, one), many, 0.0))
    return many
