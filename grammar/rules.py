"""The phrase files read by lark and laid out as plain rules.

A rule is data only (strings, numbers), so that the compiled grammar can be kept as JSON between starts.
Lark does what it is good at here: it reads the grammar files, checks that every name exists and every rule can be
reached, and expands `?`, `|`, `*` and `+`. The matching itself is ours (`chart.py`, `skeleton.py`), because a grower's
line is a lattice of possible words with costs, and what a clause says may float in any order around its verb.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from functools import cache

from grammar.data import phrase_files, tables


@dataclass(frozen=True, slots=True)
class Rule:
    """`name` can be the sequence `symbols`; `keep` tells which of them give a value to the builder `action`."""

    name: str
    symbols: tuple[str, ...]
    keep: tuple[bool, ...]
    action: str
    cost: float


@dataclass(frozen=True, slots=True)
class Rules:
    """All rules, and the literal words that they name: terminal -> the word or words."""

    rules: tuple[Rule, ...]
    literals: dict[str, str]

    def by_name(self) -> dict[str, list[Rule]]:
        """The alternatives of each name."""
        found: dict[str, list[Rule]] = {}
        for rule in self.rules:
            found.setdefault(rule.name, []).append(rule)
        return found


def source() -> str:
    """The whole grammar as one text: a placeholder for each word category, then every phrase file."""
    categories = {category for words in tables().values() for category in words} | set(BUILT_IN)
    placeholders = [f'{category}: "<{category.lower()}>"' for category in sorted(categories)]
    return "\n".join(placeholders + list(phrase_files().values()))


# Categories that come from the tokens themselves or from the farm, not from a word list.
BUILT_IN = ("INTEGER", "DECIMAL", "ORDINAL", "PLOT", "CROP", "CUSTOMER", "VARIETY", "PERSON", "WORD", "BEDNAME")


def digest() -> str:
    """A key for the text of the grammar, for the cache of its compiled form."""
    return hashlib.sha256(source().encode()).hexdigest()


@cache
def rules() -> Rules:
    """The compiled grammar; raises lark's own errors, with the place, for a phrase file that is not well formed."""
    return compile_rules(source())


def compile_rules(text: str) -> Rules:
    """`text` (lark's grammar language; start rules `part` and `clause`) as plain rules."""
    from lark import Lark
    from lark.lexer import PatternStr

    grammar = Lark(text, parser="earley", lexer="basic", start=["part", "clause"], maybe_placeholders=False)
    literals = {
        terminal.name: terminal.pattern.value
        for terminal in grammar.terminals
        if isinstance(terminal.pattern, PatternStr) and not terminal.pattern.value.startswith("<")
    }
    found = []
    for rule in grammar.rules:
        name = str(rule.origin.name)
        symbols = tuple(str(symbol.name) for symbol in rule.expansion)
        keep = tuple(not getattr(symbol, "filter_out", False) for symbol in rule.expansion)
        priority = rule.options.priority or 0 if rule.options else 0
        found.append(Rule(name, symbols, keep, str(rule.alias or name), max(0, -priority) * 0.25))
    return Rules(tuple(found), literals)
