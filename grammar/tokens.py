"""A line cut into tokens that keep their place: words, numbers, punctuation."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache

from grammar.data import table

_TOKEN = r"""(?P<short>SHORT)
      | (?P<number>(?<![\d.])\d{1,3}(?:,\d{3})+(?:\.\d+)?(?!\.?\d) | (?<![\d.])\d*\.\d+(?!\.?\d) | \d+)
      | (?P<word>[^\W\d_]+(?:['’][^\W\d_]+)*['’]?)
      | (?P<mark>\S)"""
TAILS = {"ll": "will", "re": "are", "ve": "have"}  # "the shoots'll be ready"
_FOLD = str.maketrans({"’": "'", "‘": "'", "“": '"', "”": '"', "–": "-", "—": "-", "×": "x"})


@dataclass(frozen=True, slots=True)
class Token:
    """One word, number or mark, in lower case, with its place in the line (end not included)."""

    text: str
    start: int
    end: int
    number: bool = False
    joined: bool = False  # no space between it and the token before


def tokenize(line: str) -> list[Token]:
    """The tokens of `line`; "what's" gives two, "30lb" gives two, "2nd" stays one.

    A contraction's two tokens share the place of the one word that was said.
    """
    tokens: list[Token] = []
    last = -1
    for match in _token().finditer(line.translate(_FOLD)):
        start, end = match.span()
        text = match.group().lower()
        joined = start == last
        last = end
        if joined and tokens and text in ("st", "nd", "rd", "th") and tokens[-1].text.isdigit():
            before = tokens.pop()
            tokens.append(Token(before.text + text, before.start, end, joined=before.joined))
        elif match.lastgroup == "number":
            tokens.append(Token(text.replace(",", ""), start, end, number=True, joined=joined))
        else:
            tokens.extend(Token(part, start, end, joined=joined) for part in _apart(text))
    return tokens


def _apart(word: str) -> tuple[str, ...]:
    """The words that one written word stands for: "didn't" is "did not", "kettle's" is "kettle 's"."""
    known = _contractions().get(word)
    if known:
        return known
    stem, mark, tail = word.partition("'")
    if not mark or not stem:
        return (word.replace("'", "") or word,)
    if tail in TAILS:
        return (stem, TAILS[tail])
    return (stem, "'s") if tail in ("s", "") else (word.replace("'", ""),)


@cache
def _token() -> re.Pattern[str]:
    """What makes a token; words that are written with a figure ("any1", "b4") are in the list of contractions."""
    figured = [re.escape(word) for word in _contractions() if any(letter.isdigit() for letter in word)]
    return re.compile(_TOKEN.replace("SHORT", rf"\b(?:{'|'.join(figured)})\b"), re.VERBOSE | re.IGNORECASE)


@cache
def _contractions() -> dict[str, tuple[str, ...]]:
    found = {}
    for full, ways in table("contractions")["CONTRACTION"].items():
        for way in ways:
            found[way] = tuple(full.split())
    return found
