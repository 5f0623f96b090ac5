"""How a clause opens: as a question does, with its verb before who or what it is of, or not."""

from __future__ import annotations

from functools import cache

from grammar.chart import Chart
from grammar.data import table
from grammar.tokens import Token

NAMES = frozenset(("PLOT", "CROP", "CUSTOMER"))


@cache
def opening_words() -> dict[str, frozenset[str]]:
    """Verbs that open a question, and words before which they do ("has" "the" tarp come off)."""
    return {which: frozenset(words) for which, words in table("asking")["OPENING"].items()}


def inverted(tokens: list[Token], chart: Chart, at: int) -> bool:
    """Whether what begins here opens with a verb before who or what it is of ("has the tarp", "did ridge 2").

    Not so "did the weeding": there the verb is to come.
    """
    while at < len(tokens) - 1 and not {"FILLER", "JOINER", "COMMA"}.isdisjoint(chart.columns[at]):
        at += 1
    words = opening_words()
    if at + 1 >= len(tokens) or tokens[at].text not in words["verb"]:
        return False
    if tokens[at].text == "did" and any(token.text.endswith("ing") for token in tokens[at:]):
        return False
    return tokens[at + 1].text in words["before"] or not NAMES.isdisjoint(chart.columns[at + 1])
