"""Notes that are told to books under torture, and what a book must hold of them."""

from __future__ import annotations

import datetime as dt
import random
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import sqlalchemy as sa

from assistant.conversation import Conversation
from assistant.reading import Reading
from engine import errors
from engine.book import open_book
from engine.database import Database, url_of
from engine.tables import entries, lines
from engine.upgrade import schema_of

TODAY = dt.date(2027, 6, 14)
SET_UP = (
    "add plot Brook with 12 beds 50 ft by 30 in",
    "add plot Terrace with 8 beds 50 ft by 30 in",
    "add customer Harbour Oven",
    "sowed radish in brook 1 to 12 on may 10",
)
# Each line once: a line is known by its words. Most make more than one record, so that half a line could be seen.
SAYINGS = (
    "watered brook {bed} for {number} minutes and weeded brook {other}",
    "ines worked 3 hours, watered brook {bed} for {number} minutes and hoed brook {other}",
    "harvested brook {bed} radish 0.{number} lb",
    "picked 0.{number} lb radish from brook {bed} and sold 0.{number} lb of it to harbour oven",
    "weeded brook {bed}, watered brook {other} for {number} minutes and tarped terrace 2",
    "note: row {number} of brook {bed} looks fine",
)

Rows = list[tuple[Any, ...]]


@dataclass(frozen=True, slots=True)
class Told:
    """A file of notes, and the entries that each of its lines makes."""

    notes: Path
    said: tuple[str, ...]
    makes: dict[str, Rows]


def told(folder: Path, name: str, count: int, seed: int, *, set_up: bool = True) -> Told:
    """Notes of so many lines, and what one undisturbed reading of them gives."""
    chance = random.Random(seed)
    said = list(SET_UP) if set_up else []
    for number in range(seed * count + 101, (seed + 1) * count + 101):  # no two lines of any notes are alike
        form = chance.choice(SAYINGS[2:4] if chance.random() < 0.3 else SAYINGS)
        said.append(form.format(bed=chance.randint(1, 6), other=chance.randint(7, 12), number=number))
    notes = folder / f"{name}.txt"
    notes.write_text("# 2027-06-14\n" + "\n".join(said) + "\n")
    return Told(notes, tuple(said), _undisturbed(folder / f"{name}.reference", notes, set_up=set_up))


def _undisturbed(where: Path, notes: Path, *, set_up: bool) -> dict[str, Rows]:
    with open_book(where) as book:
        if not set_up:
            hear = Conversation(book, today=TODAY).hear
            unclear = [line for line in SET_UP if not hear(line).understood]
            assert not unclear, f"the farm itself is not understood: {unclear}"
        for line, turn in Reading(book, lambda day: Conversation(book, today=day), TODAY).read(notes):
            assert turn is not None
            assert turn.understood, f"{line.text}: {turn.reply}"
    return held(where)


def held(where: str | Path) -> dict[str, Rows]:
    """The lines of a book, in order, each with its entries as they are stored."""
    database = Database(url_of(where))
    found: dict[str, Rows] = {}
    try:
        with database.reading() as connection:
            if schema_of(connection, database.name) is None:
                return {}
            for line, said in connection.execute(sa.select(lines.c.line, lines.c.said).order_by(lines.c.line)).all():
                asked = sa.select(entries.c.kind, entries.c.date, entries.c.record).where(entries.c.line == line)
                rows = [tuple(row) for row in connection.execute(asked.order_by(entries.c.entry))]
                found[said if said not in found else f"{said} (twice)"] = rows
    finally:
        database.close()
    return found


def faults(where: str | Path, shown: Iterable[dict[str, Any]], *all_told: Told) -> list[str]:
    """What is not as promised: a line that was shown and is not there, one half there, a book that is not sound."""
    try:
        with open_book(where) as book:
            wrong = [f"{finding.what}: {finding.about} {finding.figures}" for finding in book.verify()]
    except errors.BookError as error:
        return [f"it does not open: {error}"]
    there = held(where)
    makes = {said: rows for one in all_told for said, rows in one.makes.items()}
    wrong += [f"shown and lost: {turn['input']}" for turn in shown if turn["records"] and turn["input"] not in there]
    wrong += [f"not as said: {said}: {rows}" for said, rows in there.items() if rows != makes.get(said)]
    return wrong


def missing(where: str | Path, *all_told: Told) -> list[str]:
    """Lines that are not in the book after all notes were read to their end, or not in their order."""
    there = list(held(where))
    wrong = []
    for one in all_told:
        own = [said for said in there if said in set(one.said)]
        if own != list(one.said):
            wrong.append(f"{len(set(one.said) - set(own))} of {len(one.said)} lines of {one.notes.name} lost")
    return wrong
