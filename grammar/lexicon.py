"""Which words can be what: the word lists, the literal words of the phrase files and the farm's own names."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from functools import cache, cached_property, lru_cache
from typing import NamedTuple

from grammar.data import tables
from grammar.spelling import Spellings
from grammar.tokens import tokenize
from grammar.vocabulary import Vocabulary

Words = tuple[str, ...]
_SQUEEZE = re.compile(r"[^\w#]+")

NOT_SAID = (
    "asking",
    "contractions",
    "frames",
    "homophones",
)  # word lists that are about other words
SHORT_NAMES = (
    "CUSTOMER",
    "CROP",
    "PLOT",
)  # found by their letters even if these are few

SHORT_PLOT = "SHORT_PLOT"  # a plot by its first letters, which stand before the number of a bed alone ("m5")
SHORTENED = 0.2

# Words too common to stand alone for a customer whose name holds them.
_LITTLE = frozenset(("the", "and", "for", "von", "les", "del"))  # none of these ever does
_COMMON = frozenset((
    "market", "kitchen", "farm", "house", "street",
    "cafe", "restaurant", "stand", "shop", "store", "grocery", "school", "co", "monday", "tuesday", "wednesday",
    "thursday", "friday", "saturday", "sunday", "grocers",
))  # fmt: skip


class Entry(NamedTuple):
    """One way of saying something: its words, the category (terminal) and what it stands for."""

    words: Words
    terminal: str
    value: str
    cost: float = 0.0


class Lexicon:
    """Entries findable by first word, and by letters alone ("a rugula", "co op"); laid over those of `base`."""

    def __init__(self, entries: Iterable[Entry], base: Lexicon | None = None) -> None:
        self.base = base
        self._by_first: dict[str, list[Entry]] = {}
        self._by_letters: dict[str, list[Entry]] = {}
        for entry in entries:
            self._by_first.setdefault(entry.words[0], []).append(entry)
            letters = squeeze("".join(entry.words))
            if letters and (len(letters) >= 4 or entry.terminal in SHORT_NAMES):
                self._by_letters.setdefault(letters, []).append(entry)

    def starting(self, word: str) -> Sequence[Entry]:
        """Entries whose first word is `word`."""
        own = self._by_first.get(word, ())
        below = self.base.starting(word) if self.base else ()
        return (*own, *below) if own and below else own or below

    def lettered(self, letters: str) -> Sequence[Entry]:
        """Entries written with just these letters, however they are cut into words."""
        own = self._by_letters.get(letters, ())
        below = self.base.lettered(letters) if self.base else ()
        return (*own, *below) if own and below else own or below

    @cached_property
    def spellings(self) -> Spellings:
        """The letters of the entries, without those of the base, for near misses."""
        return Spellings(self._by_letters)


def squeeze(text: str) -> str:
    """Only the letters and digits: "Co-op" and "co op" are alike."""
    return text.lower() if text.isalnum() else _SQUEEZE.sub("", text.lower())


@cache
def base_lexicon() -> Lexicon:
    """What every farm shares."""
    from grammar.compiled import compiled

    return Lexicon(compiled().entries)


def common_entries(literals: Iterable[str]) -> Iterator[Entry]:
    """The literal words of the phrase files and the word lists."""
    for literal in sorted(literals):
        yield Entry(words_of(literal[1:]), literal, literal[1:])
    for name, words in tables().items():
        if name in NOT_SAID:
            continue
        for category, meanings in words.items():
            for meaning, ways in meanings.items():
                plural = name == "crops"
                yield from _entries(category, meaning, [meaning, *ways] if plural else ways, plural)


@lru_cache(maxsize=8)
def farm_lexicon(vocabulary: Vocabulary) -> Lexicon:
    """The farm's names laid over what every farm shares; kept while the names stay the same."""
    base = base_lexicon()
    entries: list[Entry] = []
    for plot in vocabulary.plots:
        entries.extend(_entries("PLOT", plot, [plot], plural=False))
        entries.extend(Entry((short,), SHORT_PLOT, plot, SHORTENED) for short in _beginnings(plot))
    for crop in vocabulary.crops:
        entries.extend(_entries("CROP", crop, [crop], plural=True))
    for variety in vocabulary.varieties:
        entries.extend(_entries("VARIETY", variety, [variety], plural=False))
    for person in vocabulary.people:
        entries.extend(_entries("PERSON", person, [person], plural=False))
    for customer in vocabulary.customers:
        entries.extend(_entries("CUSTOMER", customer, [customer, *_written_short(customer)], plural=False))
        entries.extend(_short_names(customer))
    return _with_aliases(Lexicon(once(entries), base), vocabulary)


def _with_aliases(lexicon: Lexicon, vocabulary: Vocabulary) -> Lexicon:
    entries: list[Entry] = []
    for say, mean in vocabulary.aliases:
        for entry in lexicon.lettered(squeeze(mean)):
            entries.extend(_entries(entry.terminal, entry.value, [say], plural=entry.terminal == "CROP"))
    return Lexicon(once(entries), lexicon) if entries else lexicon


def once(entries: Iterable[Entry]) -> list[Entry]:
    """Each way of saying a thing once, at its lowest cost."""
    best: dict[tuple[Words, str, str], Entry] = {}
    for entry in entries:
        key = (entry.words, entry.terminal, entry.value)
        if key not in best or entry.cost < best[key].cost:
            best[key] = entry
    return list(best.values())


def _entries(terminal: str, value: str, ways: Iterable[str], plural: bool) -> Iterator[Entry]:
    for way in dict.fromkeys(ways):
        words = words_of(way)
        if not words:
            continue
        yield Entry(words, terminal, value)
        if plural:
            for form in plurals(words[-1]):
                yield Entry((*words[:-1], form), terminal, value)


def _beginnings(plot: str) -> Iterator[str]:
    """How notes shorten a plot: its first one to three letters, or the first of each of its words."""
    words = [word for word in words_of(plot) if word.isalpha()]
    shorts = [words[0][:many] for many in (1, 2, 3)] if words else []
    initials = "".join(word[0] for word in words)
    yield from (short for short in dict.fromkeys((*shorts, initials)) if short and short not in words)


def _written_short(customer: str) -> Iterator[str]:
    """ "wed market" is the Wednesday market."""
    dates = tables()["dates"]
    for day, (name, *ways) in dates["WEEKDAY"].items():
        if name in customer.lower():
            short = (*ways, *dates["WEEKDAY_OR_NOT"].get(day, ()))
            yield from (re.sub(name, way, customer, flags=re.IGNORECASE) for way in short)


def _short_names(customer: str) -> Iterator[Entry]:
    """A customer is also called by a part of the name: "the kettle", "nadia", "co-op"."""
    parts = re.findall(r"[^\s]+", customer)
    for part in parts:
        words = words_of(part)
        stem = tuple(word for word in words if word != "'s") or words
        called = squeeze("".join(stem))
        if len(parts) > 1 and len(called) >= 3 and called not in _LITTLE:
            yield Entry(stem, "CUSTOMER", customer, 0.6 if called in _COMMON else 0.1)
    if len(parts) > 2:
        yield Entry(words_of(" ".join(parts[1:])), "CUSTOMER", customer, 0.05)
        yield Entry(words_of(" ".join(parts[:-1])), "CUSTOMER", customer, 0.05)


def words_of(text: str) -> Words:
    """The words of a phrase, cut as a line is cut; "'s" by itself is the one word that a line's "kettle's" ends in."""
    if text.startswith("'s"):
        return ("'s", *words_of(text[2:])) if len(text) > 2 else ("'s",)
    return tuple(token.text for token in tokenize(text))


def plurals(word: str) -> tuple[str, ...]:
    """How people write several of `word`: radishes, berries, tomatos."""
    if word.endswith("y") and word[-2:-1] not in ("a", "e", "o", "u"):
        return (word[:-1] + "ies", word + "s")
    if word.endswith(("s", "x", "z", "ch", "sh")):
        return (word + "es",)
    if word.endswith("o"):
        return (word + "es", word + "s")
    return (word + "s",)
