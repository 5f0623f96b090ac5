"""What could be typed next: phrase beginnings at the start of a line, the farm's own names anywhere in it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from assistant.help import beginnings
from engine.names import Names

FEWEST = 2  # letters typed before anything is offered: one letter fits half the farm
WORDS = 4  # the longest name that is completed, in words
OFFERS = 20

TAIL = re.compile(r"\S+\s*")


@dataclass(frozen=True, slots=True)
class Offer:
    """Words to put in place of the last `replaces` characters before the cursor."""

    text: str
    replaces: int


def completions(text: str, names: Names, crops: Sequence[str] = ()) -> list[Offer]:
    """Offers for the text before the cursor: beginnings first, then crops, beds, customers, people; none twice."""
    line = text.lstrip()
    offers = [Offer(beginning, len(line)) for beginning in _fitting(line, beginnings()) if len(line) >= FEWEST]
    for tail in _tails(text):
        offers += [Offer(name, len(tail)) for name in _fitting(tail, _names(names, crops))]
    return _once(offers)[:OFFERS]


def _tails(text: str) -> Iterator[str]:
    """The last words of the text, the longest run first; a run of one letter is too little to go by."""
    starts = [match.start() for match in TAIL.finditer(text)][-WORDS:]
    return (text[start:] for start in starts if len(text) - start >= FEWEST)


def _names(names: Names, crops: Sequence[str]) -> Iterator[str]:
    yield from names.crops
    yield from crops
    yield from (variety for _, varieties in names.varieties for variety in varieties)
    for plot, beds in names.plots:
        yield plot
        yield from beds
    yield from names.customers
    yield from names.people


def _fitting(typed: str, offered: Iterable[str]) -> list[str]:
    """Those that go on from what was typed, whatever the case; a name typed out in full is not offered again."""
    start = typed.casefold()
    return [name for name in offered if start and len(name) > len(typed) and name.casefold().startswith(start)]


def _once(offers: Iterable[Offer]) -> list[Offer]:
    first: dict[str, Offer] = {}
    for offer in offers:
        first.setdefault(offer.text, offer)
    return list(first.values())
