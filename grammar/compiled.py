"""The phrase files and word lists in the form in which lines are read, worked out once and kept between starts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from grammar.automaton import Automaton, automaton
from grammar.cache import digest, kept
from grammar.data import phrase_files, word_files
from grammar.lexicon import Entry, common_entries, once
from grammar.rules import Definitions, Rule, definitions, flatten, symbols_of

HERE = Path(__file__).parent
MAKERS = (
    "automaton",
    "compiled",
    "lexicon",
    "rules",
    "tokens",
)  # whose work it is: kept no longer than they stay so


@dataclass(frozen=True, slots=True)
class Compiled:
    """All that reading needs of the phrase files and word lists."""

    floating: frozenset[str]  # the types of phrase that float
    rules: tuple[Rule, ...]  # of all phrases
    automaton: Automaton  # of the words that make clauses
    entries: tuple[Entry, ...]  # of the words that all farms share


@cache
def compiled() -> Compiled:
    """The compiled form; raises lark's errors for bad syntax and BrokenGrammar for bad names if it has to be made."""
    makers = [(HERE / f"{name}.py").read_text("utf-8") for name in MAKERS]
    sources = digest((digest(phrase_files()), digest(word_files()), *makers))
    return kept("grammar", sources, lambda: plain(compile_all(definitions())), compiled_of)


def compile_all(defined: Definitions) -> Compiled:
    """The compiled form of the phrase files' rules, with the word lists."""
    floating = frozenset(symbol for node, _ in defined.by_name["floating"].alternatives for symbol in symbols_of(node))
    clauses = automaton(defined)
    rules = flatten(defined.reachable(sorted(floating | clauses.phrases)))
    return Compiled(floating, tuple(rules), clauses, tuple(once(common_entries(defined.literals))))


def plain(form: Compiled) -> dict[str, Any]:
    """The compiled form as what JSON can hold; `compiled_of` is the way back."""
    clauses = form.automaton
    return {
        "floating": sorted(form.floating),
        "rules": [[rule.name, rule.symbols, rule.action, rule.cost] for rule in form.rules],
        "begins": clauses.begins,
        "steps": clauses.steps,
        "ends": [[node, act, cost] for node, (act, cost) in clauses.ends.items()],
        "phrases": sorted(clauses.phrases),
        "entries": [[" ".join(entry.words), entry.terminal, entry.value] for entry in form.entries],
    }


def compiled_of(kept_form: dict[str, Any]) -> Compiled:
    """The compiled form out of JSON; raises KeyError, TypeError or ValueError if it is none."""
    ends = {int(node): (str(act), float(cost)) for node, act, cost in kept_form["ends"]}
    clauses = Automaton(
        tuple(kept_form["begins"]),
        tuple(kept_form["steps"]),
        ends,
        frozenset(kept_form["phrases"]),
    )
    targets = {node for step in clauses.steps for node in step.values()}
    if not targets.union(clauses.begins, ends) <= set(range(len(clauses.steps))):
        raise ValueError("a step leads nowhere")
    return Compiled(
        frozenset(kept_form["floating"]),
        tuple(Rule(name, _symbols(symbols), action, cost) for name, symbols, action, cost in kept_form["rules"]),
        clauses,
        tuple(Entry(tuple(words.split(" ")), terminal, value) for words, terminal, value in kept_form["entries"]),
    )


def _symbols(found: Sequence[str]) -> tuple[str, ...]:
    if not found or isinstance(found, str):
        raise ValueError("a rule without symbols")
    return tuple(found)
