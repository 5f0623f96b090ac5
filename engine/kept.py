"""Seasons kept for next time, in memory and as checkpoints in the book, so that no answer reads the whole log again.

A checkpoint of a day holds whatever happened up to that day's end. An entry drops those of its day and later; the next
question folds on from the latest one left. Nothing here is needed: without it the same seasons come out, only later.
"""

from __future__ import annotations

import datetime as dt
import threading
from collections.abc import Callable, Iterable, Sequence
from contextlib import suppress
from dataclasses import fields
from typing import TypeVar

import sqlalchemy as sa

from engine import checkpoint
from engine.database import Database
from engine.errors import BookError
from engine.events import Event
from engine.season import HORIZON, REGISTERED, WANTED, WITHOUT_TRACE, branch, carry, fold, lay_ahead, start
from engine.standing import FACT, as_fact, streamed
from engine.state import Season
from engine.tables import checkpoints, fact_beds, facts, lines
from engine.view import Fact

STRIDE = 600  # facts folded again at most on an ordinary day; beyond it a checkpoint is left behind
FAR = 2500  # facts between checkpoints of years ago: a month of a busy farm
TAIL = 150  # facts after the newest checkpoint, so that an entry of yesterday does not drop it
RECENT = dt.timedelta(days=45)  # older checkpoints are thinned to one a month
IN_MEMORY = 60  # seasons of one book; they share most of their parts
LONG, STEP = 40_000, 2000  # facts: to fold so many takes seconds, which is told after each so many
BEGINNING = dt.date.min
Kept = TypeVar("Kept")
Heed = Callable[[int, int], None]  # is told how many facts are folded, of how many


class Seasons:
    """The seasons of one open book; safe to ask from several threads. `heed` is told of folds that take seconds."""

    def __init__(self, database: Database, heed: Heed | None = None) -> None:
        self._database = database
        self._heed = heed
        self._lock = threading.RLock()
        self._line = 0  # the last line these seasons know of
        self._last: dt.date | None = None  # the day of the last thing that happened, once it was asked for
        self._cores: dict[dt.date, Season] = {}  # by day, without what is due later; the latest used last
        self._whole: dict[dt.date, Season] = {}
        self._wanted: dict[dt.date, list[Fact]] = {}  # by day, what is due after it
        self._registered: list[Fact] | None = None

    def season(self, day: dt.date) -> Season:
        """The farm at the end of a day."""
        with self._lock:
            if self._database.newest_line() == self._line and (season := self._at_hand(day)) is not None:
                return season
            with self._database.reading() as connection:
                self._catch_up(connection)
                stops = self._prepare(connection, day)
            season = self._at_hand(day)
            assert season is not None
            if stops:
                self._leave(stops)
            return season

    def latest(self) -> Season | None:
        """The farm on the day of the last thing that happened; None where nothing has."""
        with self._lock:
            if self._database.newest_line() != self._line or self._last is None:
                with self._database.reading() as connection:
                    self._catch_up(connection)
                    self._last = self._last or connection.scalar(_LAST_DAY)
            return self.season(self._last) if self._last is not None else None

    def written(self, line: int, added: Sequence[Fact] | None) -> None:
        """Take note of a line of our own; `added` are its facts, if it only added some and none names anything new."""
        with self._lock:
            if added is None or line != self._line + 1:
                return  # the next question looks for itself
            self._line = line
            self._whole.clear()
            happened = [fact.event.date for fact in added if fact.event.kind not in WANTED]
            self._last = max(self._last, *happened) if self._last is not None and happened else self._last
            if any(fact.event.kind in WANTED for fact in added):
                self._wanted.clear()
            for day, core in list(self._cores.items()):
                self._cores.pop(day)
                after = _with(core, added)
                if after is not None:
                    self._cores[day] = after

    def forget(self) -> None:
        """Know nothing any more."""
        with self._lock:
            self._line, self._registered, self._last = 0, None, None
            self._cores.clear()
            self._whole.clear()
            self._wanted.clear()

    def _catch_up(self, connection: sa.Connection) -> None:
        """Drop what lines have changed that were written since the last look, here or by others."""
        newest = connection.scalar(_NEWEST) or 0
        if newest == self._line:
            return
        if newest < self._line or self._registered is None or self._renamed_since(connection):
            self.forget()  # then nothing is left that could be out of date
        else:
            new = lines.c.line > self._line
            touched = connection.scalar(sa.select(sa.func.min(lines.c.touches)).where(new))
            if touched is not None:
                self._cores = {day: core for day, core in self._cores.items() if day < touched}
        self._line, self._last = newest, None
        self._whole.clear()
        self._wanted.clear()

    def _at_hand(self, day: dt.date) -> Season | None:
        """The season, if all that it is made of is in memory."""
        season, core, wanted = self._whole.get(day), self._cores.get(day), self._wanted.get(day)
        if season is None and core is not None and wanted is not None:
            self._cores[day] = self._cores.pop(day)
            season = branch(core)
            lay_ahead(season, wanted)
            _remember(self._whole, day, season)
        return season

    def _prepare(self, connection: sa.Connection, day: dt.date) -> dict[dt.date, bytes]:
        """Have in memory all that the season is made of; the checkpoints that were worth making on the way."""
        if day in self._whole:
            return {}
        _, stops = self._core(connection, day)
        if day not in self._wanted:
            _remember(self._wanted, day, _wanted_after(connection, day))
        return stops

    def _renamed_since(self, connection: sa.Connection) -> bool:
        new = sa.select(lines.c.line).where(lines.c.line > self._line, lines.c.registers)
        return connection.scalar(new.limit(1)) is not None

    def _core(self, connection: sa.Connection, day: dt.date) -> tuple[Season, dict[dt.date, bytes]]:
        """The season without what is due later, and the checkpoints that were worth making on the way to it."""
        if self._registered is None:
            self._registered = [as_fact(row) for row in connection.execute(REGISTERED_FACTS)]
        known = max((one for one in self._cores if one <= day), default=None)
        if known == day:
            self._cores[day] = self._cores.pop(day)
            return self._cores[day], {}
        if known is not None and (day - known).days <= 3:  # what lies between is little: no need to look for better
            base = branch(self._cores[known])
        else:
            base = self._base(connection, day, known)
        stops = self._fold_on(connection, base, day)
        carry(base, day)
        _remember(self._cores, day, base)
        return base, stops

    def _base(self, connection: sa.Connection, day: dt.date, known: dt.date | None) -> Season:
        """The latest season there is on or before a day: one in memory, a checkpoint, or the bare farm."""
        after = known or BEGINNING
        row = connection.execute(
            sa.select(checkpoints.c.day, checkpoints.c.season)
            .where(checkpoints.c.day <= day, checkpoints.c.day > after, checkpoints.c.rules == checkpoint.rules())
            .order_by(checkpoints.c.day.desc())
            .limit(1)
        ).one_or_none()
        if row is not None:
            return with_names(checkpoint.unpacked(row.season), self._registered or [])
        return branch(self._cores[known]) if known is not None else start(BEGINNING, self._registered or [])

    def _fold_on(self, connection: sa.Connection, base: Season, day: dt.date) -> dict[dt.date, bytes]:
        """Fold all facts from the base's day up to a day into it."""
        days = {"after": base.day, "until": day}
        left = connection.scalar(_MANY_BETWEEN, days) or 0
        stops: dict[dt.date, bytes] = {}
        worth_it, since, many = left >= STRIDE, 0, left
        for row in streamed(connection, _FACTS_BETWEEN, days) if left else ():
            fact = as_fact(row)
            if fact.event.date > base.day:
                if worth_it and (since >= FAR or (left <= TAIL + STRIDE // 4 and since > TAIL)):
                    stops[base.day], since = checkpoint.packed(base), 0
                elif left <= TAIL and base.day > BEGINNING:
                    _remember(self._cores, base.day, branch(base))
            fold(base, fact)
            left, since = left - 1, since + 1
            if self._heed is not None and many >= LONG and (left % STEP == 0):
                self._heed(many - left, many)
        return stops

    def _leave(self, stops: dict[dt.date, bytes]) -> None:
        """Keep checkpoints for the next time; a book that cannot be written in just now does without."""
        with suppress(BookError), self._database.writing() as connection:
            if (connection.scalar(_NEWEST) or 0) != self._line:
                return  # somebody wrote since: these may be out of date
            made = checkpoint.rules()
            outdated = checkpoints.c.day.in_(list(stops)) | (checkpoints.c.rules != made)
            connection.execute(checkpoints.delete().where(outdated))
            rows = [{"day": day, "rules": made, "season": season} for day, season in stops.items()]
            connection.execute(checkpoints.insert(), rows)
            _thin(connection, max(stops))


_NEWEST = sa.select(sa.func.max(lines.c.line))
_LAST_DAY = sa.select(sa.func.max(facts.c.date)).where(facts.c.kind.not_in(sorted(WANTED)))  # of what happened
_BETWEEN = facts.c.date > sa.bindparam("after"), facts.c.date <= sa.bindparam("until")
_TRACED = *_BETWEEN, facts.c.kind.not_in(sorted(WITHOUT_TRACE))
_MANY_BETWEEN = sa.select(sa.func.count()).select_from(facts).where(*_TRACED)
_FACTS_BETWEEN = FACT.where(*_TRACED).order_by(facts.c.date, facts.c.entry)
_WANTED_BETWEEN = FACT.where(*_BETWEEN, facts.c.kind.in_(sorted(WANTED))).order_by(facts.c.date, facts.c.entry)
REGISTERED_FACTS = FACT.where(facts.c.kind.in_(sorted(REGISTERED))).order_by(facts.c.date, facts.c.entry)


def _remember(by_day: dict[dt.date, Kept], day: dt.date, one: Kept) -> None:
    """Keep a day's season, or what is wanted after it, in memory, and let go of the one kept longest."""
    by_day[day] = one
    while len(by_day) > IN_MEMORY:
        by_day.pop(next(iter(by_day)))


def with_names(season: Season, registered: Sequence[Fact]) -> Season:
    """A season from a checkpoint on the farm as it is named now."""
    farm = start(season.day, registered)
    for fact in registered:
        if fact.event.date <= season.day:
            fold(farm, fact)
    for name, bed in season.beds.items():
        known = farm.beds.get(name)
        if known is not None:
            bed.plot, bed.length_ft, bed.width_in = known.plot, known.length_ft, known.width_in
        farm.beds[name] = bed
    for field in fields(Season):
        if field.name not in (*checkpoint.FROM_NAMES, "beds"):
            setattr(farm, field.name, getattr(season, field.name))
    return farm


def first_touched(connection: sa.Connection, event: Event) -> dt.date:
    """The first day whose season an event may bear on: its own, or the first on which its bed or crop occurs."""
    first = None
    if event.kind == "plot_added":
        used = fact_beds.c.bed.in_(getattr(event, "beds", ())), fact_beds.c.kind != "plot_added"
        first = connection.scalar(sa.select(sa.func.min(fact_beds.c.date)).where(*used))
    elif event.kind == "setting" and getattr(event, "name", "") == "weight":
        crop = getattr(event, "crop", None)
        dated = sa.select(sa.func.min(facts.c.date)).where(facts.c.kind.not_in(sorted(REGISTERED)))
        first = connection.scalar(dated if crop is None else dated.where(facts.c.crop == crop))
    return min(first, event.date) if first else event.date


def _wanted_after(connection: sa.Connection, day: dt.date) -> list[Fact]:
    rows = connection.execute(_WANTED_BETWEEN, {"after": day, "until": day + HORIZON})
    return [as_fact(row) for row in rows]


def _with(core: Season, added: Iterable[Fact]) -> Season | None:
    """The season with facts of its own day added; None where one belongs further back."""
    here = [fact for fact in added if fact.event.date <= core.day]
    if any(fact.event.date < core.day for fact in here):
        return None
    after = branch(core) if here else core
    for fact in here:
        fold(after, fact)
    return after


def _thin(connection: sa.Connection, newest: dt.date) -> None:
    """Of the checkpoints of long ago keep the first of each month."""
    days = connection.scalars(
        sa.select(checkpoints.c.day).where(checkpoints.c.day < newest - RECENT).order_by(checkpoints.c.day)
    )
    first: dict[tuple[int, int], dt.date] = {}
    surplus = [day for day in days if first.setdefault((day.year, day.month), day) != day]
    if surplus:
        connection.execute(checkpoints.delete().where(checkpoints.c.day.in_(surplus)))
