"""Near misses: what a word that nobody knows may have been meant as."""

from __future__ import annotations

from collections.abc import Iterator

from grammar.lexicon import Entry, Lexicon

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


def _begun(letters: str, lexicon: Lexicon) -> Iterator[tuple[Entry, float]]:
    """A name cut short: "arug", "cilan"."""
    for word in lexicon.all_letters():
        if word.startswith(letters) and len(word) > len(letters):
            for entry in lexicon.lettered(word):
                if entry.terminal in _NAMES:
                    yield entry, 0.8
