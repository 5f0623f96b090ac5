"""The made-up season: its notes are read once into a book of its own, which is kept until notes or program change."""

from __future__ import annotations

import hashlib
import shutil
import tempfile
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, TextIO

from assistant.places import cache_folder

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


def demo_book(progress: TextIO) -> Book:
    """The demo's book, open; the first time its notes are read, with a bar that shows how far."""
    from engine import open_book

    folder = cache_folder() / f"demo-{digest()}"
    if not folder.exists():
        _make(folder, progress)
    return open_book(str(folder / "book.db"))


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


READ_BY = (".py", ".lark", ".toml", ".csv")


def _make(folder: Path, progress: TextIO) -> None:
    """Reads the notes into a book beside its place and moves it there whole, so that a broken start leaves nothing."""
    with tempfile.TemporaryDirectory(dir=folder.parent, prefix="reading-") as beside:
        _read(Path(beside) / "book.db", progress)
        for old in folder.parent.glob("demo-*"):
            shutil.rmtree(old, ignore_errors=True)
        try:
            Path(beside).rename(folder)
        except OSError:
            if not folder.exists():  # else another start was quicker: its book is the same
                raise
        else:
            Path(beside).mkdir()  # for the temporary folder's own tidying


def _read(book_file: Path, progress: TextIO) -> None: ...
