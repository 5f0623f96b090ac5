"""A line as a lattice: for each place the words it may hold, as said or repaired, each with its cost."""

from __future__ import annotations

import re
from collections.abc import Iterator
from decimal import Decimal

from grammar.chart import Edge
from grammar.lexicon import SHORT_PLOT, Lexicon, squeeze
from grammar.sounds import sounding
from grammar.spelling import NAMES, near
from grammar.tokens import Token

JOINED = 0.4  # letters right, words cut otherwise
SHORT = 4  # letters of a word that is hardly told from others
LONGEST = 4  # words that one name may have been cut into
FILE_NAME = re.compile(r"[\w~./\\:-]*\w\.(?:csv|txt|ics|jsonl?)")
LOT_CODE = re.compile(
    r"[34679acdefghjkmnpqrtwxy]{2}-?[34679acdefghjkmnpqrtwxy]{3,6}"
)  # the signs that lots are written in
LABEL = re.compile(r"(?=\D*\d)[\da-z]+(?:[-/.][\da-z]+)*")  # the number on a product's or a seed packet's label
ENDS_A_SENTENCE = frozenset((".", ",", "?", "!", ";", ")", '"', "'"))


def lattice(tokens: list[Token], lexicon: Lexicon) -> list[list[Edge]]:
    """The edges that begin at each token."""
    found = [_exact(tokens, at, lexicon) for at in range(len(tokens))]
    for at in range(len(tokens)):
        found[at].extend(_recut(tokens, at, lexicon, found))
        sounding(tokens, at, lexicon, found[at])
    for at, token in enumerate(tokens):
        spare = _any_word(token, at, known=bool(found[at]))
        if not found[at] and token.text.isalpha() and len(token.text) >= 3:
            found[at].extend(edge for edge in _near(tokens, at, lexicon) if not _place_unknown(tokens, at, edge))
        found[at].extend(spare)
    return found


def _exact(tokens: list[Token], at: int, lexicon: Lexicon) -> list[Edge]:
    token = tokens[at]
    edges = [*_number(token, at), *_in_one(tokens, at)]
    after = tokens[at + 1].text if at + 1 < len(tokens) else ""
    for entry in lexicon.starting(token.text):
        if len(entry.words) > 1 and entry.words[1] != after:  # so it is with most
            continue
        end = at + len(entry.words)
        if entry.terminal == SHORT_PLOT:
            if _before_its_bed(tokens, at, lexicon):
                edges.append(Edge("PLOT", at, end, entry.value, entry.cost))
        elif end <= len(tokens) and all(tokens[at + k].text == word for k, word in enumerate(entry.words)):
            edges.append(Edge(entry.terminal, at, end, entry.value, entry.cost))
    return edges


def _before_its_bed(tokens: list[Token], at: int, lexicon: Lexicon) -> bool:
    """Whether the letters at a place can shorten a plot: "m5", "ch 4", but not "a 5"."""
    if at + 1 == len(tokens) or not tokens[at + 1].text.isdigit():
        return False
    word = tokens[at].text
    known = any(entry.terminal != SHORT_PLOT for entry in lexicon.starting(word))
    return tokens[at + 1].joined or (len(word) > 1 and not known)


def _in_one(tokens: list[Token], at: int) -> Iterator[Edge]:
    """What is written without a space and is no word: the name of a file, the code of a lot, the number on a label."""
    if tokens[at].joined and tokens[at - 1].text not in ("(", '"', "'", "#"):
        return
    end = next((end for end in range(at + 1, len(tokens)) if not tokens[end].joined), len(tokens))
    while end > at + 1 and tokens[end - 1].text in ENDS_A_SENTENCE:
        end -= 1
    written = "".join(token.text for token in tokens[at:end])
    if FILE_NAME.fullmatch(written):
        yield Edge("FILE", at, end, written, 0.0)
    if LOT_CODE.fullmatch(written) and not written.isalpha():
        yield Edge("LOT", at, end, written, 0.0)
    if LABEL.fullmatch(written):
        yield Edge("LABEL", at, end, written, 0.0)


def _any_word(token: Token, at: int, *, known: bool) -> list[Edge]:
    """Any word, where a name may stand ("Detroit Dark Red beets"): likelier one that means nothing else."""
    if not token.text[0].isalpha() or token.text == "'s":
        return []
    return [Edge("WORD", at, at + 1, token.text, 0.7 if known else 0.15)]


def _number(token: Token, at: int) -> Iterator[Edge]:
    if token.number and token.text.isdigit():
        yield Edge("INTEGER", at, at + 1, token.text, 0.0)
    elif token.number:
        yield Edge("DECIMAL", at, at + 1, Decimal(token.text), 0.0)
    elif token.text[:-2].isdecimal() and token.text[-2:] in ("st", "nd", "rd", "th"):
        yield Edge("ORDINAL", at, at + 1, token.text[:-2], 0.0)


def _recut(tokens: list[Token], at: int, lexicon: Lexicon, found: list[list[Edge]]) -> Iterator[Edge]:
    """ "a rugula", "turn ups", "nadias kitchen", "co op": the letters of a name, cut into other words."""
    letters = ""
    known = list(found[at])  # which grows with what is found here
    if not squeeze(tokens[at].text):  # a name begins with a letter, too: "market, took" holds no ", took"
        return
    for end in range(at + 1, min(at + LONGEST, len(tokens)) + 1):
        more = squeeze(tokens[end - 1].text)
        letters += more
        if len(letters) < 4 or not more:  # a name ends in a letter: "at market, took in" holds no "market,"
            continue
        for entry in lexicon.lettered(letters):
            if not any(edge.symbol == entry.terminal and edge.end == end for edge in known):
                yield Edge(
                    entry.terminal,
                    at,
                    end,
                    entry.value,
                    entry.cost + JOINED,
                    " ".join(entry.words),
                )


def _place_unknown(tokens: list[Token], at: int, edge: Edge) -> bool:
    """ "Harvested gate 4", where there is no such plot: a short word before a bed's number is not "gave" misspelt."""
    before_number = at > 0 and edge.end < len(tokens) and tokens[edge.end].text.isdigit()
    return before_number and len(tokens[at].text) <= SHORT and edge.symbol not in NAMES and edge.symbol != "UNIT"


def _near(tokens: list[Token], at: int, lexicon: Lexicon) -> Iterator[Edge]:
    for end in range(at + 1, min(at + 3, len(tokens)) + 1):
        letters = squeeze("".join(token.text for token in tokens[at:end]))
        for entry, cost in near(letters, lexicon):
            yield Edge(
                entry.terminal,
                at,
                end,
                entry.value,
                entry.cost + cost + 0.2 * (end - at - 1),
                " ".join(entry.words),
            )
