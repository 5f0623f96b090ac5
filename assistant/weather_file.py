"""Daily weather from a file of CSV: what of each day the book has not been told yet, each line once, streamed."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING

from assistant.clean import clean_line
from assistant.notes import NoteLine, NotesError, plain_lines, source_of
from assistant.turn import Turn
from engine.errors import Unfit
from engine.weather_csv import Head, day_of, head_of

if TYPE_CHECKING:
    from assistant.conversation import Conversation
    from engine.events import Weather
    from engine.state import Season


def is_weather(file: Path) -> bool:
    """Whether the first line of a file is the head of daily weather."""
    return _head(file) is not None


def _head(file: Path) -> Head | None:
    return head_of(next(plain_lines(file), ""))


@dataclass(slots=True)
class Days:
    """The days that the book has degrees and rain of."""

    degrees: set[dt.date] = field(default_factory=set)
    rain: set[dt.date] = field(default_factory=set)

    def add(self, event: Weather) -> None:
        if event.high is not None or event.low is not None:
            self.degrees.add(event.date)
        if event.rain is not None:
            self.rain.add(event.date)

    def news(self, event: Weather) -> Weather | None:
        """What of a day's weather is not told yet."""
        fresh = event
        if event.date in self.degrees:
            fresh = replace(fresh, high=None, low=None, unit=None)
        if event.date in self.rain:
            fresh = replace(fresh, rain=None, rain_unit=None)
        return None if (fresh.high, fresh.low, fresh.rain) == (None, None, None) else fresh


def read_weather(file: Path, talk: Conversation) -> Iterator[tuple[NoteLine, Turn | None]]:
    """Writes the days that are news, and gives line by line what came; None for what the book had already.

    Raises NotesError where neither the head nor the farm says in which units the numbers are.
    """
    head = _with_units(file, talk)
    told, season = Days(), talk.book.season(talk.today)
    for fact in talk.book.facts(kinds=("weather",)):
        told.add(fact.event)  # type: ignore[arg-type]
    source = source_of(file)
    for number, raw in enumerate(plain_lines(file), 1):
        if number > 1 and (text := clean_line(raw)):
            found = day_of(head, raw)
            line = NoteLine(source, None if isinstance(found, str) else found.date, number, text, 1)
            yield line, _kept(line, found, told, talk, season)


def _with_units(file: Path, talk: Conversation) -> Head:
    """The head with the farm's units where it names none."""
    head = _head(file)
    assert head is not None  # it was told by its head
    settings = talk.book.view(talk.today).season().settings
    found = replace(
        head, unit=head.unit or settings.get("temperature_unit"), rain_unit=head.rain_unit or settings.get("rain_unit")
    )
    if found.unit is None:
        raise NotesError(f'{file} does not say whether it is in F or C: name the columns "high_f" and "low_f", or say'
                         ' "temperatures are in F" first.')  # fmt: skip
    if "rain" in found.columns and found.rain_unit is None:
        raise NotesError(f'{file} does not say how rain is measured: name the column "rain_mm" or "rain_in", or say'
                         ' "rain is in mm" first.')  # fmt: skip
    return found


def _kept(line: NoteLine, found: Weather | str, told: Days, talk: Conversation, season: Season) -> Turn | None:
    """What comes of one line; a day that cannot have been so, or is still to come, is told and not written."""
    from assistant.wording.asking import doubt
    from engine.book import key_of
    from engine.checks import doubts

    if isinstance(found, str):
        return Turn(line.text, talk.today, unread=(line.text,), reply=f"Not read: {found}.")
    firm = [one for one in doubts(found, season, talk.today) if one.firm]
    if firm:
        return Turn(line.text, talk.today, unread=(line.text,), reply=doubt(firm[0], found, talk.today))
    fresh = told.news(found)
    key = key_of(line.source, found.date, line.text, line.occurrence)
    if fresh is None or talk.book.said_before(key):
        return None
    try:
        turn = talk.put_down(line.text, fresh, key)
    except Unfit as error:
        return Turn(line.text, talk.today, unread=(line.text,), reply=str(error))
    told.add(fresh)
    return turn
