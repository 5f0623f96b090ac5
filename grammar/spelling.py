"""Near misses: what a word that nobody knows may have been meant as."""

from __future__ import annotations

import re
from collections.abc import Iterator

from grammar.lexicon import Entry, Lexicon

_DOUBLED = re.compile(r"(.)\1+")
_NAMES = ("CROP", "CUSTOMER", "PLOT", "PERSON", "VARIETY")


def near(letters: str, lexicon: Lexicon) -> Iterator[tuple[Entry, float]]:
    """Entries within one or two slips of `letters`, with the cost of the repair; short words allow one slip only."""
    from rapidfuzz.distance import DamerauLevenshtein
    from rapidfuzz.process import extract

    slips = 1 if len(letters) <= 5 else 2
    choices = lexicon.all_letters()
    for word, distance, _ in extract(
        letters, choices, scorer=DamerauLevenshtein.distance, score_cutoff=slips, limit=6
    ):
        if word[:1] != letters[:1] and distance > 1:
            continue
        for entry in lexicon.lettered(word):
            yield entry, 0.6 + 0.5 * distance
    if len(letters) >= 3:
        yield from _begun(letters, lexicon)
        yield from _clipped(letters, lexicon)
        yield from _alike_in_sound(letters, lexicon)


def _alike_in_sound(letters: str, lexicon: Lexicon) -> Iterator[tuple[Entry, float]]:
    """A name that dictation wrote by its sound: "terris" for "terrace"."""
    sound = _sound(letters)
    for word in lexicon.all_letters():
        if len(letters) >= 4 and word[0] == letters[0] and _sound(word) == sound:
            for entry in lexicon.lettered(word):
                if entry.terminal in _NAMES:
                    yield entry, 1.0


def _sound(word: str) -> str:
    """A word by its consonant sounds, roughly: c, k and q, or s, z and soft c, are one."""
    word = word.replace("ck", "k").replace("ph", "f").replace("qu", "kw").replace("wh", "w")
    word = re.sub(r"c(?=[eiy])", "s", word).replace("c", "k").replace("z", "s")
    return _bones(word)


def _clipped(letters: str, lexicon: Lexicon) -> Iterator[tuple[Entry, float]]:
    """A word written without its vowels: "clrd", "wtrd", "plntd"."""
    bones = _bones(letters)
    if len(bones) < 2 or len(letters) - len(bones) > 1:
        return
    for word in lexicon.all_letters():
        if word[0] == letters[0] and len(word) > len(letters) and _bones(word) == bones:
            for entry in lexicon.lettered(word):
                if len(entry.words) == 1:
                    yield entry, 0.5


def _bones(word: str) -> str:
    """The consonants of a word, doubled ones once."""
    return _DOUBLED.sub(r"\1", "".join(letter for letter in word if letter not in "aeiou"))


def _begun(letters: str, lexicon: Lexicon) -> Iterator[tuple[Entry, float]]:
    """A name cut short: "arug", "cilan"."""
    for word in lexicon.all_letters():
        if word.startswith(letters) and len(word) > len(letters):
            for entry in lexicon.lettered(word):
                if entry.terminal in _NAMES:
                    yield entry, 0.8
