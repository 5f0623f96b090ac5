"""Entries as they stand after corrections and undoing: worked out, kept in `facts`, and asked for."""

from __future__ import annotations

import datetime as dt
import json
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import sqlalchemy as sa

from engine.errors import NoSuchEntry
from engine.events import Event
from engine.stored import changed, from_stored, to_stored
from engine.tables import entries, fact_beds, facts, lines
from engine.view import Fact

AT_ONCE = 2000  # rows to a batch while rebuilding
CHANGES = ("corrected", "undone")


@dataclass(frozen=True, slots=True)
class Entry:
    """A row of the log."""

    entry: int
    kind: str
    record: str
    replaces: int | None

    @property
    def event(self) -> Event:
        return from_stored(self.kind, self.record)


def entry_of(connection: sa.Connection, number: int) -> Entry:
    """The entry of that number; raises NoSuchEntry."""
    row = connection.execute(_ENTRY_OF, {"wanted": number}).one_or_none()
    if row is None:
        raise NoSuchEntry(f"There is no entry {number} in the book.")
    return Entry(*row)


_ENTRY = sa.select(entries.c.entry, entries.c.kind, entries.c.record, entries.c.replaces)
_ENTRY_OF = _ENTRY.where(entries.c.entry == sa.bindparam("wanted"))


def family(connection: sa.Connection, root: int) -> list[Entry]:
    """An entry with all that ever corrected or undid it, or undid one of those, in the order of entry."""
    found, new = {root: entry_of(connection, root)}, {root}
    while new:
        rows = connection.execute(_ENTRY.where(entries.c.replaces.in_(new)).order_by(entries.c.entry))
        more = [Entry(*row) for row in rows]
        found.update((one.entry, one) for one in more)
        new = {one.entry for one in more}
    return sorted(found.values(), key=lambda one: one.entry)


def root_of(connection: sa.Connection, number: int) -> int:
    """The entry that all was about in the end: a correction's or an undoing's own root."""
    entry = entry_of(connection, number)
    return entry.entry if entry.replaces is None else root_of(connection, entry.replaces)


class Family:
    """Which entries of a family stand: those that no standing entry has undone."""

    def __init__(self, members: Sequence[Entry]) -> None:
        self._undone_by: dict[int | None, list[int]] = defaultdict(list)
        self._corrections: dict[int | None, list[Entry]] = defaultdict(list)
        for one in members:
            if one.kind == "undone":
                self._undone_by[one.replaces].append(one.entry)
            elif one.kind == "corrected":
                self._corrections[one.replaces].append(one)

    def stands(self, number: int) -> bool:
        """Whether the entry has not been taken back, or its taking back has."""
        return not any(self.stands(undoing) for undoing in self._undone_by.get(number, ()))

    def event(self, root: Entry) -> Event | None:
        """The root as it stands now, or None if it was taken back."""
        if not self.stands(root.entry):
            return None
        event = root.event
        for correction in self._corrections.get(root.entry, ()):
            if self.stands(correction.entry):
                event = changed(event, json.loads(correction.record)["replaces"])
        return event

    def is_plain(self, root: int) -> bool:
        """Whether nothing was ever done to the entry."""
        return root not in self._undone_by and root not in self._corrections


def rows_of(entry: int, event: Event, *, as_entered: bool) -> tuple[dict[str, Any], list[dict[str, Any]]]:
    """The rows of a fact and of its beds."""
    fact = {
        "entry": entry, "date": event.date, "kind": event.kind, "crop": getattr(event, "crop", None),
        "customer": getattr(event, "customer", None), "record": None if as_entered else to_stored(event),
    }  # fmt: skip
    beds = dict.fromkeys(getattr(event, "beds", None) or ())
    return fact, [{"bed": bed, "date": event.date, "entry": entry, "kind": event.kind} for bed in beds]


_PUT_FACTS, _PUT_BEDS = facts.insert(), fact_beds.insert()


def keep(connection: sa.Connection, events: Iterable[tuple[int, Event]], *, as_entered: bool) -> None:
    """Put facts in their tables."""
    rows = [rows_of(entry, event, as_entered=as_entered) for entry, event in events]
    if rows:
        connection.execute(_PUT_FACTS, [fact for fact, _ in rows])
    beds = [bed for _, many in rows for bed in many]
    if beds:
        connection.execute(_PUT_BEDS, beds)


def keep_as_it_stands(connection: sa.Connection, root: int) -> tuple[Event | None, Event | None]:
    """Work one entry out anew and keep that; returns it as it was kept before and as it stands now."""
    before = fact_of(connection, root)
    members = family(connection, root)
    after = Family(members).event(members[0])
    connection.execute(fact_beds.delete().where(fact_beds.c.entry == root))
    connection.execute(facts.delete().where(facts.c.entry == root))
    if after is not None:
        keep(connection, [(root, after)], as_entered=False)
    return before.event if before else None, after


def streamed(
    connection: sa.Connection, asked: sa.Select[Any], wanted: Mapping[str, Any] | None = None
) -> Iterator[sa.Row[Any]]:
    """The rows of a long answer, some at a time; a server is told when the rest is not wanted."""
    with connection.execute(asked, wanted, execution_options={"yield_per": AT_ONCE}) as rows:
        yield from rows


def worked_out(connection: sa.Connection) -> Iterator[tuple[int, Event, bool]]:
    """Every standing entry from the log alone, in the order of entry, and whether it stands as entered."""
    changes = connection.execute(_ENTRY.where(entries.c.kind.in_(CHANGES)).order_by(entries.c.entry))
    whole = Family([Entry(*row) for row in changes])
    roots = _ENTRY.where(entries.c.kind.not_in(CHANGES)).order_by(entries.c.entry)
    for row in streamed(connection, roots):
        root = Entry(*tuple(row))
        event = root.event if whole.is_plain(root.entry) else whole.event(root)
        if event is not None:
            yield root.entry, event, whole.is_plain(root.entry)


FACT = (
    sa.select(facts.c.entry, facts.c.kind, sa.func.coalesce(facts.c.record, entries.c.record), lines.c.said, lines.c.by)
    .join(entries, entries.c.entry == facts.c.entry)
    .join(lines, lines.c.line == entries.c.line)
)
_FACT_OF = FACT.where(facts.c.entry == sa.bindparam("wanted"))


def as_fact(row: Sequence[Any]) -> Fact:
    """A row of FACT."""
    entry, kind, record, said, by = row
    return Fact(entry, from_stored(kind, record), said, by)


def fact_of(connection: sa.Connection, entry: int) -> Fact | None:
    """An entry as it stands now, None if it does not."""
    row = connection.execute(_FACT_OF, {"wanted": entry}).one_or_none()
    return as_fact(row) if row else None


def facts_asked(
    start: dt.date | None, end: dt.date | None, kinds: Iterable[str], crop: str | None, customer: str | None,
    beds: Iterable[str], *, newest_first: bool, limit: int | None,
) -> sa.Select[Any]:  # fmt: skip
    """The statement for what `View.facts` promises."""
    kinds, beds = sorted(set(kinds)), sorted(set(beds))
    asked = _within(FACT, facts.c, start, end, kinds)
    if crop is not None:
        asked = asked.where(facts.c.crop == crop)
    if customer is not None:
        asked = asked.where(facts.c.customer == customer)
    if beds:
        found = _within(sa.select(fact_beds.c.entry).where(fact_beds.c.bed.in_(beds)), fact_beds.c, start, end, kinds)
        if limit is not None and crop is None and customer is None:  # a bed's years need no further look
            found = _ordered(found.add_columns(fact_beds.c.date).distinct(), fact_beds.c, newest_first).limit(limit)
            found = sa.select(found.subquery().c.entry)
        asked = asked.where(facts.c.entry.in_(found))
    return _ordered(asked, facts.c, newest_first).limit(limit)


def _within(
    asked: sa.Select[Any], columns: Any, start: dt.date | None, end: dt.date | None, kinds: list[str]
) -> sa.Select[Any]:
    """Narrowed to days and kinds, by the columns of `facts` or of `fact_beds`."""
    if start is not None:
        asked = asked.where(columns.date >= start)
    if end is not None:
        asked = asked.where(columns.date <= end)
    return asked.where(columns.kind.in_(kinds)) if kinds else asked


def _ordered(asked: sa.Select[Any], columns: Any, newest_first: bool) -> sa.Select[Any]:
    by_day = (columns.date, columns.entry)
    return asked.order_by(*(column.desc() for column in by_day)) if newest_first else asked.order_by(*by_day)
