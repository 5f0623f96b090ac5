"""The phrase files as rules: what is understood, what is refused and how that is told."""

from __future__ import annotations

import pytest
from lark import LarkError

from grammar.automaton import automaton
from grammar.rules import BrokenGrammar, Rule, define, definitions, flatten


def rules(text: str) -> list[Rule]:
    return flatten(define({"test.lark": text}).by_name.values())


def sequences(text: str, name: str) -> set[tuple[str, ...]]:
    return {rule.symbols for rule in rules(text) if rule.name == name}


def test_words_are_literals_and_names_are_symbols() -> None:
    assert sequences('weight: "about" INTEGER UNIT', "weight") == {("=about", "INTEGER", "UNIT")}


def test_what_may_be_left_out_makes_two_sequences() -> None:
    assert sequences('bed: "the"? "bed" INTEGER', "bed") == {("=the", "=bed", "INTEGER"), ("=bed", "INTEGER")}


def test_every_alternative_has_its_own_builder() -> None:
    actions = {rule.symbols: rule.action for rule in rules('count: INTEGER | "half" -> one_half')}

    assert actions == {("INTEGER",): "count", ("=half",): "one_half"}


def test_a_step_of_negative_priority_costs_a_quarter() -> None:
    assert [rule.cost for rule in rules('loose.-2: "so"')] == [0.5]


def test_a_choice_within_a_rule_becomes_a_nameless_rule() -> None:
    found = rules('day: ("on" | "by") INTEGER')
    (outer,) = [rule for rule in found if rule.name == "day"]
    inner = outer.symbols[0]

    assert inner.startswith("_")
    assert {rule.symbols for rule in found if rule.name == inner} == {("=on",), ("=by",)}


def test_what_is_repeated_may_come_once_or_again() -> None:
    found = rules('list: "x"+')
    (outer,) = [rule for rule in found if rule.name == "list"]
    many = outer.symbols[0]
    one = next(rule.symbols[0] for rule in found if rule.name == many)

    assert {rule.symbols for rule in found if rule.name == many} == {(one,), (many, one)}


def test_nameless_rules_of_two_rules_have_two_names() -> None:
    found = rules('one: ("a" | "b") "c"\ntwo: ("d" | "e") "f"')

    assert len({rule.name for rule in found if rule.name.startswith("_")}) == 2


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("bed: PLOTT INTEGER", "bed names PLOTT, which nothing defines"),
        ('bed: "bed"\nbed: "b"', "bed is defined twice"),
        ('bed: ("the"? | "a") INTEGER', "bed: a choice that may be empty"),
        ('bed: ("a" -> one_of) INTEGER', "an alias belongs to a rule's own alternative"),
        ("bed: /b+/", "only plain words in quotes are used"),
    ],
)
def test_a_phrase_file_with_a_mistake_is_refused_and_the_mistake_told(text: str, told: str) -> None:
    with pytest.raises(BrokenGrammar, match=told):
        rules(text)


def test_a_phrase_file_that_is_no_grammar_is_refused() -> None:
    with pytest.raises(LarkError):
        define({"test.lark": 'bed: ("the" INTEGER'})


def test_a_nameless_rule_within_itself_is_refused_in_a_clause() -> None:
    with pytest.raises(BrokenGrammar, match="_words is used within itself"):
        automaton(define({"test.lark": 'clause: told\ntold: _words\n_words: "so" | _words "so"'}))


def test_the_shipped_phrase_files_are_well_formed() -> None:
    assert {"clause", "floating", "beds", "when", "amount"} <= definitions().by_name.keys()
