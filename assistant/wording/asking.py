"""What is asked back, and what is said of words that were not understood: short, with its reason, ready to answer."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from assistant.wording import text
from assistant.wording.doubting import doubt
from assistant.wording.gaps import missing
from assistant.wording.words import either_of, quoted

__all__ = [
    "ANOTHER_DAY", "also_unread", "confirm_unread", "doubt", "dropped", "either", "missing",
    "not_understood", "range_", "repaired",
]  # fmt: skip

MOST_OFFERS = 3
ANOTHER_DAY = "That day is not in the calendar, or too far off. Which day do you mean?"


def range_(low: Decimal, high: Decimal, unit: str | None, crop: str | None) -> str:
    """Which of two amounts it was: "Was it 25 or 30 lb of radish, or something between?"."""
    of = f" of {crop}" if crop else ""
    return f"Was it {text.figure(low)} or {text.amount(high, unit)}{of}, or something between?"


def either(texts: tuple[str, ...]) -> str:
    """Which of several readings of one line was meant, each with a number to answer by."""
    return f"Did you mean: {either_of([f'({place}) {_bare(each)}' for place, each in enumerate(texts, 1)])}?"


def confirm_unread(words: tuple[str, ...], event_text: str) -> str:
    """Whether to write what was understood, though some words were not."""
    return f"I did not get {quoted(words)}. Shall I write: {_bare(event_text)}? (yes or no)"


def not_understood(words: tuple[str, ...], offers: tuple[str, ...]) -> str:
    """Which words were not understood, and the nearest things that can be said."""
    said = f"I did not get {quoted(words) or 'that'}. Nothing was written for it."
    near = [f'"{offer}"' for offer in offers[:MOST_OFFERS]]
    return f"{said}\nYou could say: {either_of(near)}." if near else said


def also_unread(words: tuple[str, ...]) -> str:
    """Which words were left over beside what was understood."""
    return f"I did not get {quoted(words)}; nothing was written for it."


def repaired(taken: Sequence[str]) -> str:
    """What was taken for something else than it was spelt, so that a wrong guess is heard at once."""
    return f"I read {text.names(taken)}; say if not."


def dropped(text: str) -> str:
    """The open question that a fresh phrase put an end to."""
    return f"Dropped the open question, and wrote nothing for it: {text}"


def _bare(said: str) -> str:
    """Lines as one, without the full stop at their end, to stand inside a question."""
    return " ".join(said.split("\n")).rstrip(".")
