"""The made-up season: its notes are read once into a book of its own, which is kept until notes or program change."""

from __future__ import annotations

import hashlib
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, TextIO

from assistant.places import cache_folder
from assistant.wording.text import bar, screen_width

if TYPE_CHECKING:
    from engine.book import Book

# A Wednesday in high summer: beds full, orders standing, successions to be sown. Later notes are not read.
DAY = date(2027, 7, 14)

# Played where there is no terminal to talk at; the tests say each of these.
SAMPLE = (
    "what's ready to harvest",
    "harvested brook 4 radish 30 lb",
    "make that 28",
    "undo that",
    "what's free next tuesday",
    "what's in the cooler",
    "orders this week",
    "weekly recap",
)

BAR = 30  # characters
READING = "Reading the demo season"
READ_BY = (".py", ".lark", ".toml", ".csv")


def demo_book(progress: TextIO) -> Book:
    """The demo's book, open; the first time its notes are read, with a bar that shows how far."""
    from engine import open_book

    folder = cache_folder() / f"demo-{digest()}"
    if not folder.exists():
        _make(folder, progress)
    return open_book(str(folder / "book.db"))


@contextmanager
def copy_of(book: Book) -> Iterator[Book]:
    """A copy of the book for as long as the block lasts."""
    from engine import open_book

    with (
        tempfile.TemporaryDirectory(prefix="rowcall-") as folder,
        open_book(book.backup(Path(folder) / "book.db")) as copy,
    ):
        yield copy


def notes_folder() -> Path:
    """Where the notes are: within the package in an installed copy, beside it in the source tree."""
    package = Path(__file__).parent
    return next(folder for folder in (package / "demo_logs", package.parent / "demo_logs") if folder.is_dir())


def digest() -> str:
    """A short mark of the notes and of the program that reads them: another of either, another book."""
    mark = hashlib.sha256()
    for file in _ingredients():
        mark.update(file.name.encode())
        mark.update(file.read_bytes())
    return mark.hexdigest()[:16]


def _ingredients() -> Iterator[Path]:
    yield from sorted(notes_folder().glob("*.txt"))
    packages = Path(__file__).parent.parent
    for package in ("assistant", "engine", "grammar"):
        yield from sorted(file for file in (packages / package).rglob("*") if file.suffix in READ_BY)


def _make(folder: Path, progress: TextIO) -> None:
    """Reads the notes into a book beside its place and moves it there whole, so that a broken start leaves nothing."""
    beside = Path(tempfile.mkdtemp(dir=folder.parent, prefix="reading-"))
    try:
        _read(beside / "book.db", progress)
        for old in folder.parent.glob("demo-*"):
            if old != folder:
                shutil.rmtree(old, ignore_errors=True)
        _move(beside, folder)
    finally:
        shutil.rmtree(beside, ignore_errors=True)


def _move(beside: Path, folder: Path) -> None:
    try:
        beside.rename(folder)
    except OSError:
        if not folder.exists():  # else another start was quicker, and its book is the same
            raise


def _read(file: Path, progress: TextIO) -> None:
    from assistant.conversation import Conversation
    from assistant.reading import Count, Reading
    from engine import open_book

    notes = _up_to_the_day()
    count = Count()
    with open_book(file) as book:
        reading = Reading(book, lambda day: Conversation(book, today=day), DAY)
        for number, one in enumerate(notes):
            _show(number / len(notes), progress)
            for _, turn in reading.read(one):
                count.add(turn)
    _show(1, progress)
    progress.write(f"\n{count.text()}\n" if progress.isatty() else f"Demo season: {count.text()}\n")


def _up_to_the_day() -> list[Path]:
    """The notes of names and settings, and those of each day until the demo's."""
    from assistant.notes import note_files

    return [file for file in note_files(notes_folder()) if file.stem[:4] != str(DAY.year) or file.stem <= str(DAY)]


def _show(part: float, progress: TextIO) -> None:
    """The bar, drawn over itself on a terminal, as wide as there is room, and not at all elsewhere."""
    if progress.isatty():
        room = max(1, min(BAR, screen_width() - len(READING) - 9))  # brackets, the share, the cursor
        progress.write(f"\r{READING}  [{bar(Decimal(part), Decimal(1), room):<{room}}] {part:4.0%}")
        progress.flush()
