"""Near misses: what a word that nobody knows may have been meant as."""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from grammar.lexicon import Entry, Lexicon

_DOUBLED = re.compile(r"(.)\1+")
_VOWELS = str.maketrans("", "", "aeiou")
_SOFT_C = re.compile(r"c(?=[eiy])")
NAMES = frozenset(("CROP", "CUSTOMER", "PLOT", "PERSON", "VARIETY"))

# "Gate 4" names no Nate: of the world's first names none is guessed, nor a farm's currency ("the lay of the land").
NEVER_MEANT = frozenset(("NAME", "CURRENCY"))

# What changes a clause altogether is not guessed from afar: "grotty" is not "gotta".
NEARLY_SAID = frozenset(("FLAG", "REPAIR", "GIVE_UP", "UNDO"))
NEAREST = 6  # spellings looked at for one word
REMEMBERED = 2000  # words that nobody knows, which come again and again: a neighbour's name, a way to write
SLIP = 0.5  # each letter wrong, missing, too many or swapped ...
SLIPPED = 0.6  # ... and this once
BEGUN = 0.8  # a name cut short
CLIPPED = 0.5  # a word without its vowels
SOUNDED = 1.0  # a name written by its sound


class Spellings:
    """The letters of the entries of a lexicon, sorted so that those like a given word are found without trying all."""

    def __init__(self, lettered: Mapping[str, Sequence[Entry]]) -> None:
        self._all = list(lettered)
        self._near: dict[tuple[str, int], list[tuple[int, str]]] = {}  # as looked up before
        self._of_length: dict[tuple[int, int], list[str]] = {}
        names = [word for word, entries in lettered.items() if any(entry.terminal in NAMES for entry in entries)]
        self._names = sorted((word, number) for number, word in enumerate(names))
        self._by_sound = _grouped((word[0] + _sound(word), word) for word in names)
        self._by_bones = _grouped((word[0] + _bones(word), word) for word in lettered)

    def within(self, letters: str, slips: int) -> list[tuple[int, str]]:
        """The nearest spellings within so many slips, each with the number of its slips."""
        known = self._near.get((letters, slips))
        if known is None:
            if len(self._near) >= REMEMBERED:
                self._near.clear()
            known = self._near[letters, slips] = self._looked_up(letters, slips)
        return known

    def _looked_up(self, letters: str, slips: int) -> list[tuple[int, str]]:
        from rapidfuzz.distance import DamerauLevenshtein
        from rapidfuzz.process import extract

        choices = self._about_as_long(len(letters), slips)
        found = extract(
            letters,
            choices,
            scorer=DamerauLevenshtein.distance,
            score_cutoff=slips,
            limit=NEAREST,
        )
        return [(int(distance), word) for word, distance, _ in found]

    def _about_as_long(self, length: int, slips: int) -> list[str]:
        known = self._of_length.get((length, slips))
        if known is None:
            known = [word for word in self._all if abs(len(word) - length) <= slips]
            self._of_length[length, slips] = known
        return known

    def begun(self, letters: str) -> list[str]:
        """Names that begin with the letters."""
        at = bisect_right(self._names, (letters, len(self._names)))
        found = []
        while at < len(self._names) and self._names[at][0].startswith(letters):
            found.append(self._names[at])
            at += 1
        return [word for word, _ in sorted(found, key=lambda name: name[1])]

    def clipped(self, letters: str) -> list[str]:
        """Longer words with the same consonants, where the letters are hardly more than consonants."""
        bones = _bones(letters)
        if len(bones) < 2 or len(letters) - len(bones) > 1:
            return []
        longer = (word for word in self._by_bones.get(letters[0] + bones, ()) if len(word) > len(letters))
        return [word for word in longer if _left_out(letters, word)]

    def sounding(self, letters: str) -> list[str]:
        """Names of the same consonant sounds."""
        return self._by_sound.get(letters[0] + _sound(letters), []) if len(letters) >= 4 else []


def near(letters: str, lexicon: Lexicon) -> Iterator[tuple[Entry, float]]:
    """Entries within one or two slips of `letters`, with the cost of the repair; short words allow one slip only."""
    layers = list(_layers(lexicon))
    slips = 1 if len(letters) <= 5 else 2
    slipped = sorted(
        (found for layer in layers for found in layer.within(letters, slips)),
        key=lambda one: one[0],
    )
    for distance, word in slipped[:NEAREST]:
        if word[:1] == letters[:1] or distance <= 1:
            guessed = NEVER_MEANT if distance <= 1 else NEVER_MEANT | NEARLY_SAID
            entries = (entry for entry in lexicon.lettered(word) if entry.terminal not in guessed)
            yield from ((entry, SLIPPED + SLIP * distance) for entry in entries)
    if len(letters) < 3:
        return
    for word in _once(layer.begun(letters) for layer in layers):
        yield from ((entry, BEGUN) for entry in lexicon.lettered(word) if entry.terminal in NAMES)
    for word in _once(layer.clipped(letters) for layer in layers):
        yield from ((entry, CLIPPED) for entry in lexicon.lettered(word) if len(entry.words) == 1)
    for word in _once(layer.sounding(letters) for layer in layers):
        yield from ((entry, SOUNDED) for entry in lexicon.lettered(word) if entry.terminal in NAMES)


def _left_out(letters: str, word: str) -> bool:
    """Whether the letters are the word's with some left out: "dropd" of "dropped", but not "stir" of "store"."""
    rest = iter(word)
    return all(letter in rest for letter in letters)


def _layers(lexicon: Lexicon | None) -> Iterator[Spellings]:
    while lexicon is not None:
        yield lexicon.spellings
        lexicon = lexicon.base


def _once(found: Iterable[list[str]]) -> list[str]:
    return list(dict.fromkeys(word for words in found for word in words))


def _grouped(pairs: Iterable[tuple[str, str]]) -> dict[str, list[str]]:
    groups: dict[str, list[str]] = {}
    for key, word in pairs:
        groups.setdefault(key, []).append(word)
    return groups


def _sound(word: str) -> str:
    """A word by its consonant sounds, roughly: c, k and q, or s, z and soft c, are one."""
    word = word.replace("ck", "k").replace("ph", "f").replace("qu", "kw").replace("wh", "w")
    return _bones(_SOFT_C.sub("s", word).replace("c", "k").replace("z", "s"))


def _bones(word: str) -> str:
    """The consonants of a word, doubled ones once."""
    return _DOUBLED.sub(r"\1", word.translate(_VOWELS))
