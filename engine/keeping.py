"""Care for a whole book: rebuild what follows from the entries, check it, copy it."""

from __future__ import annotations

import datetime as dt
import sqlite3
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import islice, zip_longest
from pathlib import Path
from typing import Any, TypeVar

import sqlalchemy as sa

from engine import checkpoint, copies
from engine.copies import copy_file, in_one_file, written_whole
from engine.database import Database, trouble, url_of
from engine.errors import BookError, CannotWrite, WouldReplace
from engine.kept import BEGINNING, REGISTERED_FACTS, with_names
from engine.season import carry, fold, start
from engine.season_stock import balances
from engine.standing import AT_ONCE, FACT, as_fact, keep, rows_of, streamed, worked_out
from engine.state import Season
from engine.tables import checkpoints, entries, fact_beds, facts, lines
from engine.upgrade import make_ready
from engine.view import Fact

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Finding:
    """Something that is not as it should be.

    `what` is one of damaged (the file itself), fact (differs from the entries), checkpoint (differs from the fold) and
    balance (what came in is not what went out and is left); `about` says which one, `figures` what was found.
    """

    what: str
    about: str
    figures: tuple[str, ...] = ()


def rebuild(connection: sa.Connection) -> None:
    """Empty the tables that follow from the entries, and work the facts out anew; call within a transaction."""
    for table in (checkpoints, fact_beds, facts):
        connection.execute(table.delete())
    for many in _batches(worked_out(connection)):
        for plain in (True, False):
            keep(connection, [(entry, event) for entry, event, as_is in many if as_is is plain], as_entered=plain)


def forget_seasons(connection: sa.Connection) -> None:
    """Empty the table of seasons worked out before; call within a transaction."""
    connection.execute(checkpoints.delete())


def verify(database: Database) -> tuple[Finding, ...]:
    """All that is wrong with a book; takes as long as reading it whole."""
    with database.reading() as connection:
        for look in (_damage, _wrong_facts, _wrong_seasons):
            try:
                found = tuple(look(connection))
            except (BookError, LookupError, ValueError) as error:  # a record that no program of ours has written
                found = (Finding("damaged", "entries", (str(error),)),)
            if found:
                return found  # what comes after rests on this being right
    return ()


def backup(database: Database, path: Path, *, replace: bool) -> Path:
    """A consistent copy as a SQLite book of its owner's; the name is taken only when the copy is whole."""
    if path.exists() and not replace:
        raise WouldReplace(f"There is a file at {path} already; nothing was copied.")

    def write(part: Path) -> None:
        if database.path is not None:
            copy_file(database.path, part)
        else:
            copy_entries(database, part)
            in_one_file(part)

    try:
        return written_whole(path, write)
    except (OSError, sqlite3.Error) as error:
        raise trouble(error, str(path), path) or error from error


def copy_of_day(database: Database, day: dt.date, keep: int) -> Path | None:
    """The day's copy of a book in a file, if it is due (see `copies.copy_of_day`); a server sees to its own."""
    if database.path is None:
        return None
    with database.reading() as connection:
        newest = connection.scalar(sa.select(sa.func.max(lines.c.line))) or 0
    with database.telling():
        return copies.copy_of_day(database.path, day, newest, keep)


def copy_asked_for(database: Database, day: dt.date) -> Path:
    """A copy beside a book in a file; raises CannotWrite for a book on a server."""
    if database.path is None:
        raise CannotWrite("This book is kept by a server; say where its copy is to go: rowcall --backup FILE.")
    with database.telling():
        return copies.copy_asked_for(database.path, day)


def copy_entries(source: Database, where: str | Path) -> None:
    """A new book at a path or URL with all lines and entries of another, by their numbers; that is all a book is."""
    target = Database(url_of(where))
    try:
        make_ready(target, create=True)
        with source.reading() as here, target.writing() as there:
            if there.scalar(sa.select(sa.func.max(lines.c.line))) is not None:
                raise WouldReplace(f"There are entries in {target.name} already; nothing was copied.")
            for table, key in ((lines, lines.c.line), (entries, entries.c.entry)):
                for many in _batches(streamed(here, sa.select(table).order_by(key))):
                    there.execute(table.insert(), [row._asdict() for row in many])
            rebuild(there)
    finally:
        target.close()


def _damage(connection: sa.Connection) -> Iterator[Finding]:
    if connection.dialect.name != "sqlite":
        return
    for pragma in ("integrity_check", "foreign_key_check"):
        for row in connection.exec_driver_sql(f"PRAGMA {pragma}"):
            if tuple(row) != ("ok",):
                yield Finding("damaged", pragma, tuple(str(part) for part in row))


def _wrong_facts(connection: sa.Connection) -> Iterator[Finding]:
    """The facts that are kept and those that the entries give, side by side."""
    asked = sa.select(facts).order_by(facts.c.entry)
    beds = sa.select(fact_beds).order_by(fact_beds.c.entry)
    kept = (row._asdict() for row in streamed(connection, asked))
    kept_beds = (row._asdict() for row in streamed(connection, beds))
    for entry, event, plain in worked_out(connection):
        fact, its_beds = rows_of(entry, event, as_entered=plain)
        found = next(kept, None)
        found_beds = list(islice(kept_beds, len(its_beds)))
        if found != fact or sorted(map(str, found_beds)) != sorted(map(str, its_beds)):
            yield Finding("fact", f"entry {entry}", (str(found), str(fact)))
            return  # after the first difference the two lists no longer run side by side
    for surplus, bed in zip_longest(islice(kept, 1), islice(kept_beds, 1)):
        yield Finding("fact", f"entry {(surplus or bed)['entry']}", (str(surplus), str(bed)))


def _wrong_seasons(connection: sa.Connection) -> Iterator[Finding]:
    """Fold the whole book once and hold each checkpoint against it, then the sums of the last day."""
    registered = [as_fact(row) for row in connection.execute(REGISTERED_FACTS)]
    asked = sa.select(checkpoints).where(checkpoints.c.rules == checkpoint.rules()).order_by(checkpoints.c.day)
    kept = list(connection.execute(asked))
    season = start(BEGINNING, registered)
    ordered = FACT.order_by(facts.c.date, facts.c.entry)
    for row in streamed(connection, ordered):
        fact = as_fact(row)
        while kept and kept[0].day < fact.event.date:
            yield from _wrong_checkpoint(season, kept.pop(0), registered)
        fold(season, fact)
    for left in kept:
        yield from _wrong_checkpoint(season, left, registered)
    for (crop, unit), (came, went) in balances(season).items():
        if came != went:
            yield Finding("balance", f"{crop} in {unit}", (str(came), str(went)))


def _wrong_checkpoint(season: Season, kept: sa.Row[Any], registered: list[Fact]) -> Iterator[Finding]:
    carry(season, kept.day)
    if with_names(checkpoint.unpacked(kept.season), registered) != season:
        yield Finding("checkpoint", str(kept.day))


def _batches(many: Iterable[T]) -> Iterator[list[T]]:
    rest = iter(many)
    while batch := list(islice(rest, AT_ONCE)):
        yield batch
