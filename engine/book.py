"""The farm book: what was said, never lost or overwritten, and the farm as it follows from that on any day."""

from __future__ import annotations

import datetime as dt
import hashlib
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from types import TracebackType
from typing import Self

import sqlalchemy as sa

from engine import keeping
from engine.change import LINE_OF_KEY, Change, store
from engine.copies import KEPT
from engine.database import Database, url_of
from engine.kept import Heed, Seasons
from engine.names import Names, names_in
from engine.standing import CHANGES, Entry, Family, as_fact, fact_of, facts_asked, family, root_of
from engine.state import Season
from engine.tables import entries, lines
from engine.upgrade import make_ready
from engine.view import Fact


def open_book(where: str | Path, *, create: bool = True, copies: int = KEPT, heed: Heed | None = None) -> Book:
    """The book at a path or URL (SQLite or PostgreSQL), made if there is none and `create` is set.

    A book of an earlier schema is copied beside itself and brought up; so many of such copies are kept, at least one.
    `heed` is told, where all seasons have to be worked out anew, how many facts are done, of how many.
    Raises a CannotOpen, ReadOnlyBook or DiskFull of `errors.py`, each with one sentence for the person.
    """
    database = Database(url_of(where))
    try:
        make_ready(database, create=create, copies=copies)
    except BaseException:
        database.close()
        raise
    return Book(database, heed)


def key_of(source: str, day: dt.date, text: str, occurrence: int = 1) -> str:
    """What makes a line of a notes file itself: its file's name, its day, its words, and which of such lines it is."""
    return hashlib.sha256("\x1f".join((source, day.isoformat(), text, str(occurrence))).encode()).hexdigest()


@dataclass(frozen=True, slots=True)
class Line:
    """A line as it was said, with those of its entries that stand now: records as entered, corrections, undoings."""

    line: int
    said: str
    by: str | None
    at: dt.datetime
    facts: tuple[Fact, ...]


class Book:
    """An open farm book. Use it as a context manager, or `close` it."""

    def __init__(self, database: Database, heed: Heed | None = None) -> None:
        self._database = database
        self._seasons = Seasons(database, heed)
        self._named: tuple[Season | None, Names] = None, Names()  # the latest season looked at, and the names in it
        self._changes = 0  # made here, not by others

    def __enter__(self) -> Self:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, at: TracebackType | None) -> None:
        self.close()

    def close(self) -> None:
        """Let go of the file or server."""
        self._database.close()

    @property
    def name(self) -> str:
        """What to call the book before a person: its path or address, without a password."""
        return self._database.name

    @contextmanager
    def change(
        self, said: str, by: str | None, at: dt.datetime, *, today: dt.date | None = None, key: str | None = None
    ) -> Iterator[Change]:
        """A block in which a line changes the book: on disk when it ends, or nothing of it if anything goes wrong.

        `at` is the moment (with its zone), `today` the farm's day (default: the moment's day in UTC), by which a
        correction is dated. A line with a `key` is remembered even if it adds nothing, and never stored twice.
        """
        change = Change(said, by, at, today or at.astimezone(dt.UTC).date(), key)
        yield change
        with self._database.writing() as connection:
            writing = store(connection, change)
        self._changes += 1
        if writing is not None:
            change.facts, change.line = tuple(writing.facts), writing.line
            self._seasons.written(writing.line, writing.facts if writing.only_adds else None)

    def season(self, day: dt.date) -> Season:
        """The farm at the end of a day. Only read it: it is shared."""
        return self._seasons.season(day)

    def view(self, today: dt.date) -> BookView:
        """The book as a question sees it."""
        return BookView(self, today)

    def facts(
        self, start: dt.date | None = None, end: dt.date | None = None, *, kinds: Iterable[str] = (),
        crop: str | None = None, customer: str | None = None, beds: Iterable[str] = (), newest_first: bool = False,
        limit: int | None = None,
    ) -> list[Fact]:  # fmt: skip
        """Facts dated within the days (both included), in date order; no narrowing means all."""
        asked = facts_asked(start, end, kinds, crop, customer, beds, newest_first=newest_first, limit=limit)
        with self._database.reading() as connection:
            return [as_fact(row) for row in connection.execute(asked)]

    def fact(self, entry: int) -> Fact | None:
        """A record as it stands now; None where it was taken back. A correction's number means the record corrected.

        Raises NoSuchEntry.
        """
        with self._database.reading() as connection:
            return fact_of(connection, root_of(connection, entry))

    def names(self) -> Names:
        """The farm's own names as they are now."""
        season = self._seasons.latest()
        if season is not self._named[0]:
            self._named = season, names_in(season) if season is not None else Names()
        return self._named[1]

    def said_before(self, key: str) -> bool:
        """Whether a line with this key (see `key_of`) is in the book."""
        with self._database.reading() as connection:
            return connection.scalar(LINE_OF_KEY, {"wanted": key}) is not None

    def latest_line(self, by: str | None = None, *, before: int | None = None) -> Line | None:
        """The latest line (of one person, or before another line) that has a record or correction still standing."""
        return next(self.latest_lines(by, before=before), None)

    def latest_lines(self, by: str | None = None, *, before: int | None = None) -> Iterator[Line]:
        """Lines with a record or correction still standing, the latest first."""
        asked = sa.select(lines.c.line, lines.c.said, lines.c.by, lines.c.at).order_by(lines.c.line.desc()).limit(20)
        asked = asked.where(lines.c.by == by) if by is not None else asked
        while True:
            with self._database.reading() as connection:
                rows = connection.execute(asked if before is None else asked.where(lines.c.line < before)).all()
            for row in rows:
                with self._database.reading() as connection:
                    standing = _standing(connection, row.line, row.said, row.by)
                if any(fact.event.kind != "undone" for fact in standing):
                    yield Line(row.line, row.said, row.by, row.at, standing)
            if not rows:
                return
            before = rows[-1].line

    def forget_derived(self) -> None:
        """Drop all kept seasons; the next question works them out from the facts."""
        with self._database.writing() as connection:
            keeping.forget_seasons(connection)
        self._changes += 1
        self._seasons.forget()

    def rebuild(self) -> None:
        """Work out all that follows from the entries anew."""
        with self._database.writing() as connection:
            keeping.rebuild(connection)
        self._changes += 1
        self._seasons.forget()

    def verify(self) -> tuple[keeping.Finding, ...]:
        """What is wrong with the book; nothing, if all that is kept equals what the entries give."""
        return keeping.verify(self._database)

    def backup(self, path: str | Path, *, replace: bool = False) -> Path:
        """A consistent copy of the open book as a SQLite book; raises WouldReplace for a file that is there."""
        return keeping.backup(self._database, Path(path).expanduser().absolute(), replace=replace)

    def copy_of_day(self, day: dt.date, keep: int = KEPT) -> Path | None:
        """The day's copy in the folder beside the book, if it is due; so many are kept, none if `keep` is 0.

        It is due where there is none of that day and a line was added since the latest. A book on a server has none.
        Raises DamagedBook or a CannotWrite, and then all earlier copies are still there.
        """
        return keeping.copy_of_day(self._database, day, keep)

    def copy_asked_for(self, day: dt.date) -> Path:
        """A new copy in the folder beside the book, kept until the grower removes it.

        Raises a CannotWrite; for a book on a server one that says to name a file.
        """
        return keeping.copy_asked_for(self._database, day)

    def copy_to(self, where: str | Path) -> None:
        """All of the book in a new one at a path or URL, to move between SQLite and PostgreSQL.

        Raises WouldReplace where a book with entries is there already.
        """
        keeping.copy_entries(self._database, where)


def _standing(connection: sa.Connection, line: int, said: str, by: str | None) -> tuple[Fact, ...]:
    rows = connection.execute(
        sa.select(entries.c.entry, entries.c.kind, entries.c.record, entries.c.replaces)
        .where(entries.c.line == line)
        .order_by(entries.c.entry)
    ).all()
    found = []
    for entry in (Entry(*row) for row in rows):
        if entry.kind in CHANGES:
            root = root_of(connection, entry.entry)
            if Family(family(connection, root)).stands(entry.entry):
                found.append(Fact(entry.entry, entry.event, said, by))
        elif (fact := fact_of(connection, entry.entry)) is not None:
            found.append(fact)
    return tuple(found)


class BookView:
    """The book seen from one day, for as long as one line of talk is dealt with; fits `view.View`.

    A season that was looked at stays as it is, whatever others write meanwhile; what is written here is seen at once.
    """

    __slots__ = ("_book", "_changes", "_seasons", "_today")

    def __init__(self, book: Book, today: dt.date) -> None:
        self._book, self._today = book, today
        self._changes = book._changes
        self._seasons: dict[dt.date, Season] = {}

    @property
    def today(self) -> dt.date:
        """The day it is."""
        return self._today

    def season(self, day: dt.date | None = None) -> Season:
        """The farm at the end of `day` (default: today). Only read it: it is shared."""
        day = day or self._today
        if self._changes != self._book._changes:
            self._changes = self._book._changes
            self._seasons.clear()
        if day not in self._seasons:
            self._seasons[day] = self._book.season(day)
        return self._seasons[day]

    def facts(
        self, start: dt.date | None = None, end: dt.date | None = None, *, kinds: Iterable[str] = (),
        crop: str | None = None, customer: str | None = None, beds: Iterable[str] = (), newest_first: bool = False,
        limit: int | None = None,
    ) -> list[Fact]:  # fmt: skip
        """Facts dated within the days (both included), in date order; no narrowing means all."""
        return self._book.facts(
            start, end, kinds=kinds, crop=crop, customer=customer, beds=beds, newest_first=newest_first, limit=limit
        )
