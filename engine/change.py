"""A unit of work on the book: one line of input, all of it or nothing."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

import sqlalchemy as sa

from engine import __version__
from engine.errors import ChangedSince, NotStanding, Unfit
from engine.events import Corrected, Event, Undone
from engine.kept import first_touched
from engine.season import REGISTERED
from engine.standing import CHANGES, Family, entry_of, fact_of, family, keep, keep_as_it_stands, root_of
from engine.stored import changed, fields_of, made, plain_replaces, to_stored
from engine.tables import checkpoints, entries, lines
from engine.view import Fact

FIRST_YEAR, LAST_YEAR = 1900, 2999


@dataclass(frozen=True, slots=True)
class Correction:
    entry: int
    replaces: dict[str, Any]
    was: Event | None


@dataclass(frozen=True, slots=True)
class Undoing:
    entry: int


@dataclass(slots=True)
class Change:
    """What a line does to the book. Nothing is written before the block ends; then `facts` has what was stored.

    `before` is True where a line with this key was in the book already: then nothing was stored. `first` is the number
    of its first entry where that is another book's, else it is the next one.
    """

    said: str
    by: str | None
    at: dt.datetime
    today: dt.date
    key: str | None = None
    first: int | None = None
    steps: list[Event | Correction | Undoing] = field(default_factory=list)
    facts: tuple[Fact, ...] = ()
    before: bool = False
    line: int | None = None

    def add(self, event: Event) -> None:
        """Something happened, is wanted or is planned."""
        if event.kind in CHANGES:
            raise Unfit("A correction is made by `correct` and an undoing by `undo`.")
        if not FIRST_YEAR <= event.date.year <= LAST_YEAR:
            raise Unfit(f"The year {event.date.year} is no year of a farm book.")
        self.steps.append(made(event.kind, fields_of(event)))

    def correct(self, entry: int, replaces: Mapping[str, Any], *, was: Event | None = None) -> None:
        """Other fields for an earlier entry, None for one that does not hold; with `was`, only if it still stands so.

        At the end of the block raises NoSuchEntry, NotStanding, ChangedSince or Unfit, and then nothing is stored.
        """
        self.steps.append(Correction(entry, plain_replaces(dict(replaces)), was))

    def undo(self, entry: int) -> None:
        """Take an earlier entry back: a record, a correction (what it had replaced is restored) or an undoing.

        At the end of the block raises NoSuchEntry or NotStanding, and then nothing is stored.
        """
        self.steps.append(Undoing(entry))


class Writing:
    """One change on its way into the tables."""

    def __init__(self, connection: sa.Connection, change: Change) -> None:
        self._connection = connection
        self._change = change
        newest = connection.execute(_NEWEST, {"wanted": change.key}).one()
        newest_line, newest_entry, self._last_checkpoint, same = newest
        self.before = same is not None  # a line with this key is in the book already
        self.line = (newest_line or 0) + 1
        self._entry = max(newest_entry or 0, (change.first or 1) - 1)
        self._touched: list[dt.date] = []
        self._roots: list[int] = []
        self.registers = False
        self.facts: list[Fact] = []

    @property
    def only_adds(self) -> bool:
        """Whether all that it did was to add facts that name nothing new."""
        return not self._roots and not self.registers

    def write(self) -> None:
        """Put the line, its entries and what follows from them in the book."""
        self._put_line()
        added: list[tuple[int, Event]] = []
        for step in self._change.steps:
            match step:
                case Correction():
                    added = self._keep(added)
                    self._correct(step)
                case Undoing():
                    added = self._keep(added)
                    self._undo(step)
                case _:
                    added.append((self._next_entry(step), step))
        self._keep(added)
        self._tell_touched()

    def _put_line(self) -> None:
        change = self._change
        events = [step for step in change.steps if isinstance(step, Event)]
        self._touched = [first_touched(self._connection, event) for event in events]
        self.registers = any(event.kind in REGISTERED for event in events)
        row = {"line": self.line, "said": change.said, "by": change.by, "at": change.at, "version": __version__,
               "key": change.key, "touches": min(self._touched, default=None), "registers": self.registers}  # fmt: skip
        self._connection.execute(_PUT_LINE, row)

    def _keep(self, added: list[tuple[int, Event]]) -> list[tuple[int, Event]]:
        if added:
            self._connection.execute(_PUT_ENTRIES, [self._row(entry, event, None) for entry, event in added])
            keep(self._connection, added, as_entered=True)
        return []

    def _enter(self, event: Event, replaces: int) -> None:
        self._connection.execute(_PUT_ENTRIES, self._row(self._next_entry(event), event, replaces))

    def _next_entry(self, event: Event) -> int:
        self._entry += 1
        self.facts.append(Fact(self._entry, event, self._change.said, self._change.by))
        return self._entry

    def _row(self, entry: int, event: Event, replaces: int | None) -> dict[str, Any]:
        return {"entry": entry, "line": self.line, "kind": event.kind, "date": event.date,
                "record": to_stored(event), "replaces": replaces}  # fmt: skip

    def _correct(self, step: Correction) -> None:
        root = root_of(self._connection, step.entry)
        fact = fact_of(self._connection, root)
        if fact is None:
            raise NotStanding("That was taken back already, so there is nothing to correct.")
        if step.was is not None and step.was != fact.event:
            raise ChangedSince("Somebody else has changed that in the meantime; look at it again.")
        changed(fact.event, step.replaces)  # raises Unfit before anything is entered
        self._enter(Corrected(date=self._change.today, entry=root, replaces=step.replaces), root)
        self._stand_anew(root)

    def _undo(self, step: Undoing) -> None:
        target = entry_of(self._connection, step.entry)
        root = root_of(self._connection, step.entry)
        if not Family(family(self._connection, root)).stands(step.entry):
            raise NotStanding("That was taken back already.")
        self._enter(Undone(date=self._change.today, entry=step.entry, kind_undone=target.kind), step.entry)
        self._stand_anew(root)

    def _stand_anew(self, root: int) -> None:
        """The root entry as it stands now; both the days it was and is about are touched."""
        for event in keep_as_it_stands(self._connection, root):
            if event is not None:
                self._touched.append(first_touched(self._connection, event))
                self.registers |= event.kind in REGISTERED
        self._roots.append(root)

    def _tell_touched(self) -> None:
        if not self._touched:
            return
        first = min(self._touched)
        if self._last_checkpoint is not None and self._last_checkpoint >= first:
            self._connection.execute(checkpoints.delete().where(checkpoints.c.day >= first))
        if self._roots:
            said = lines.update().where(lines.c.line == self.line)
            self._connection.execute(said.values(touches=first, registers=self.registers))


def store(connection: sa.Connection, change: Change) -> Writing | None:
    """Write a change; None where there was nothing to write. Call within a transaction of its own."""
    if not change.steps and change.key is None:
        return None
    writing = Writing(connection, change)
    if writing.before:
        change.before = True
        return None
    writing.write()
    return writing


_PUT_LINE, _PUT_ENTRIES = lines.insert(), entries.insert()
LINE_OF_KEY = sa.select(lines.c.line).where(lines.c.key == sa.bindparam("wanted"))
_NEWEST = sa.select(
    sa.select(sa.func.max(lines.c.line)).scalar_subquery(),
    sa.select(sa.func.max(entries.c.entry)).scalar_subquery(),
    sa.select(sa.func.max(checkpoints.c.day)).scalar_subquery(),
    LINE_OF_KEY.scalar_subquery(),
)
