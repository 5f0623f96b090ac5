"""Lines as a machine that takes dictation writes them: no capitals or marks, numbers as words, a word heard as another.

Homophones are those of any English dictionary (from memory), not the grammar's own list; one at most in a line, since
such a machine hears most words right.
"""

from __future__ import annotations

import re
from random import Random

ONES = [
    "zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve",
    "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen",
]  # fmt: skip
TENS = ["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"]
SPOKEN = {"#": "pounds", "lb": "pounds", "lbs": "pounds", "oz": "ounces", "&": "and", "w": "with", "ft": "feet"}
HOMOPHONES = {
    "two": ("to", "too"), "four": ("for",), "one": ("won",), "eight": ("ate",), "beet": ("beat",), "beets": ("beats",),
    "leeks": ("leaks",), "sow": ("sew",), "sowed": ("sewed",), "thyme": ("time",), "row": ("roe",), "week": ("weak",),
    "hour": ("our",), "hours": ("ours",), "threw": ("through",),
}  # fmt: skip
TOKEN = re.compile(
    r"\d+[/:-][\d/:-]+|\d+(?:st|nd|rd|th|s|am|pm)\b|\d+\.\d+|\d[\d,]*\d|\d+|[^\W\d_]+(?:'[^\W\d_]+)*|#|&|½|\$"
)


def in_words(number: int) -> str:
    """A whole number below a million in words."""
    if number < 20:
        return ONES[number]
    if number < 100:
        tens, ones = divmod(number, 10)
        return TENS[tens - 2] + (f" {ONES[ones]}" if ones else "")
    unit, name = (1000, "thousand") if number >= 1000 else (100, "hundred")
    many, rest = divmod(number, unit)
    return f"{in_words(many)} {name}" + (f" {in_words(rest)}" if rest else "")


def dictated(line: str, lot: Random) -> str:
    """The line as a machine would write it down; `lot` draws the word that is heard as another."""
    words = " ".join(_spoken(token) for token in TOKEN.findall(line.lower())).split()
    heard = [place for place, word in enumerate(words) if word in HOMOPHONES]
    if heard:
        place = lot.choice(heard)
        words[place] = lot.choice(HOMOPHONES[words[place]])
    return " ".join(words)


def _spoken(token: str) -> str:
    digits = token.replace(",", "")
    if digits.isdigit():
        return in_words(int(digits)) if int(digits) < 1_000_000 else token
    if re.fullmatch(r"\d+\.\d+", token):
        whole, _, rest = token.partition(".")
        return " ".join((in_words(int(whole)), "point", *(ONES[int(digit)] for digit in rest)))
    return {"$": "", "½": "and a half"}.get(token, SPOKEN.get(token, token))
