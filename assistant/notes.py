"""Notes in plain text: a file or a folder of them, a line for each thing said, and the day that each is about.

The day stands in the file's name (2027-06-14.txt) or on a line of its own ("# 2027-06-14"); other lines that begin
with "#" are for the reader only.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

from assistant.clean import LONGEST, clean_line
from engine.errors import BookError

DAY_IN_NAME = re.compile(r"\d{4}-\d\d-\d\d")
DAY_LINE = re.compile(r"#\s*(\d{4}-\d\d-\d\d)\s*")
LONGEST_BYTES = 4 * LONGEST + 2  # UTF-8 takes up to four bytes a character


class NotesError(BookError):
    """Notes that cannot be read; its text is one sentence for the person."""


@dataclass(frozen=True, slots=True)
class NoteLine:
    """One line of notes: the same file, day, text and occurrence are the same thing said, however often it is read.

    `occurrence` counts the line among its equals on that day from 1, since "watered brook 3" may be meant twice.
    """

    source: str
    day: dt.date | None
    number: int
    text: str
    occurrence: int


def note_files(path: Path) -> list[Path]:
    """The notes of a folder, undated ones first (names are given before they are used), then day by day."""
    if not path.exists():
        raise NotesError(f"There are no notes at {path}.")
    if not path.is_dir():
        return [path]
    files = [file for file in path.iterdir() if file.suffix in (".txt", ".md") and file.is_file()]
    if not files:
        raise NotesError(f"The folder {path} holds no notes: no file ends in .txt or .md.")
    return sorted(files, key=lambda file: (DAY_IN_NAME.match(file.stem) is not None, file.name))


def note_lines(file: Path) -> Iterator[NoteLine]:
    """The lines of one file that say something, streamed; raises NotesError for what is no plain text."""
    source = source_of(file)
    day = _day(match[0], f"the name of {file}") if (match := DAY_IN_NAME.match(file.stem)) else None
    seen: Counter[bytes] = Counter()
    for number, raw in enumerate(plain_lines(file), 1):
        day = day_line(raw, f"line {number} of {file}") or day
        if (text := clean_line(raw)) and not is_remark(raw):
            same = _told_by(day, text)
            seen[same] += 1
            yield NoteLine(source, day, number, text, seen[same])


def _told_by(day: dt.date | None, text: str) -> bytes:
    """What is remembered of a line to know it again: its words would take as much room as the file."""
    return hashlib.blake2b(f"{day} {text}".encode(), digest_size=12).digest()


def is_remark(line: str) -> bool:
    """Whether a line is for the reader of the notes only."""
    return line.lstrip().startswith("#")


def day_line(line: str, place: str) -> dt.date | None:
    """The day that a line of its own sets for those below it; None for any other line."""
    match = DAY_LINE.fullmatch(line.strip())
    return _day(match[1], place) if match else None


def _day(text: str, place: str) -> dt.date:
    try:
        return dt.date.fromisoformat(text)
    except ValueError as error:
        raise NotesError(f"{text}, in {place}, is no day of the calendar; nothing from there on was read.") from error


def source_of(file: Path) -> str:
    """What a file is called beside its lines: its name in its folder."""
    return "/".join(file.resolve().parts[-2:])


def plain_lines(file: Path) -> Iterator[str]:
    """All lines of a file of plain text, streamed; raises NotesError for any other."""
    try:
        with file.open("rb") as stream:
            yield from (_decoded(raw, file, number) for number, raw in enumerate(_raw_lines(stream), 1))
    except OSError as error:
        raise NotesError(
            f"The notes {file} cannot be read: {(error.strerror or 'no reason given').lower()}."
        ) from error


def _raw_lines(stream: BinaryIO) -> Iterator[bytes]:
    """Lines as bytes; of one that never ends only as much is held as tells that it is too long."""
    while raw := stream.readline(LONGEST_BYTES):
        yield raw
        while raw and not raw.endswith(b"\n") and len(raw) == LONGEST_BYTES:
            raw = stream.readline(LONGEST_BYTES)


def _decoded(raw: bytes, file: Path, number: int) -> str:
    cut = len(raw) == LONGEST_BYTES  # perhaps in the middle of a letter; the line is refused for its length anyway
    try:
        text = raw.decode("utf-8-sig" if number == 1 else "utf-8", "replace" if cut else "strict")
    except UnicodeDecodeError as error:
        raise NotesError(
            f"Line {number} of {file} is not UTF-8 text; save the notes as UTF-8 and read them again."
        ) from error
    if "\0" in text:
        raise NotesError(f"{file} is not a file of plain text.")
    return text.rstrip("\r\n")
