"""The words that make a clause."""

from __future__ import annotations

from grammar.automaton import automaton
from grammar.rules import define
from grammar.skeleton import START, Skeleton

FILES = {
    "deeds.lark": 'clause: washed | washed__weak | named\nwashed: "washed" "up"? | "did" "the"? "wash"\n'
    'washed__weak.-2: "wash"\nnamed: "add" "bed" TEXT',
    "asks.lark": 'clause: ask_washed\nask_washed: ("did" | "have") "we" "wash"+',
}


def skeleton() -> Skeleton:
    return Skeleton(automaton(define(FILES)))


def acts(words: str) -> dict[str, float]:
    walked = skeleton()
    state = START
    for word in words.split():
        symbols = frozenset((word if word.isupper() else f"={word}",)) & walked.steps(state)
        if not symbols:
            return {}
        state = walked.follow(state, symbols)
    return dict(walked.acts(state))


def test_a_clause_is_its_words_in_order() -> None:
    assert acts("did the wash") == {"washed": 0.0}
    assert acts("wash the did") == {}


def test_words_may_be_left_out_or_repeated_as_the_rule_says() -> None:
    assert acts("washed") == acts("washed up") == {"washed": 0.0}
    assert acts("did we wash") == acts("did we wash wash wash") == {"washed": 0.0}


def test_a_clause_that_is_not_over_is_nothing_yet() -> None:
    assert acts("did the") == {}


def test_a_weaker_way_of_saying_costs_its_priority() -> None:
    assert acts("wash") == {"washed": 0.5}


def test_a_word_that_may_be_several_goes_on_as_each() -> None:
    walked = skeleton()
    state = walked.follow(START, frozenset(("=washed", "=wash")))

    assert dict(walked.acts(state)) == {"washed": 0.0}
    assert walked.steps(state) == {"=up"}


def test_free_text_is_due_where_nothing_else_can_come() -> None:
    walked = skeleton()
    add = walked.follow(START, frozenset(("=add",)))

    assert not walked.text_due(add)
    assert walked.text_due(walked.follow(add, frozenset(("=bed",))))


def test_what_brings_free_text_on_is_known() -> None:
    assert skeleton().before("TEXT") == {"=bed"}
