"""What a question may look at: the season on any day, and the dated facts of the book."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Protocol

from engine.events import Event
from engine.state import Season


@dataclass(frozen=True, slots=True)
class Fact:
    """A record as it stands after corrections and undoing, with the number of its entry."""

    entry: int
    event: Event
    said: str
    by: str | None = None


class View(Protocol):
    """The book seen from one day; `book.Book` gives one by `book.view(today)`."""

    @property
    def today(self) -> dt.date:
        """The day it is."""

    def season(self, day: dt.date | None = None) -> Season:
        """The farm at the end of `day` (default: today). Only read it: it may be shared."""

    def facts(
        self,
        start: dt.date | None = None,
        end: dt.date | None = None,
        *,
        kinds: Iterable[str] = (),
        crop: str | None = None,
        customer: str | None = None,
        beds: Iterable[str] = (),
        newest_first: bool = False,
        limit: int | None = None,
    ) -> list[Fact]:
        """Facts dated within the days (both included), in date order; no narrowing means all."""
