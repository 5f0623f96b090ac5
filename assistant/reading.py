"""Notes read into a book: each line once, however often its file is read, and what came of them all."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from assistant.hearing import heard, too_long
from assistant.notes import NoteLine, note_files, note_lines
from assistant.turn import Turn
from assistant.weather_file import is_weather, read_weather
from assistant.wording.text import plural

if TYPE_CHECKING:
    from assistant.conversation import Conversation
    from engine.book import Book

    Begin = Callable[[dt.date], Conversation]  # a conversation on a day

BACKWARD = ("fix", "undo")
PASSED_OVER = (
    "This line changes an earlier one, and what stands before it in the notes was read at another time, so it was not"
    " followed. Say it in the chat, with the bed, crop or customer that it is about."
)


@dataclass(slots=True)
class Reading:
    """Notes on their way into a book.

    `leans` is a conversation in which nothing was passed over since the latest record of the book was heard: only
    there does "make that 28" mean the line above it.
    """

    book: Book
    begin: Begin
    today: dt.date
    leans: Conversation | None = None

    def read(self, path: Path) -> Iterator[tuple[NoteLine, Turn | None]]:
        """Hears the notes at a path, each on its day (`today` where none is given), and gives line by line what came.

        A file whose first line is the head of daily weather is read as that. A line that was read before is not heard
        again and comes with None.
        """
        for file in note_files(path):
            if is_weather(file):
                yield from read_weather(file, self.begin(self.today))
                continue
            for line in note_lines(file):
                yield line, self._hear(line)

    def _hear(self, line: NoteLine) -> Turn | None:
        from engine.book import key_of

        day = line.day or self.today
        key = key_of(line.source, day, line.text, line.occurrence)
        if self.book.said_before(key):
            self.leans = None
            return None
        if self.leans is None and self._looks_back(line.text):
            return Turn(line.text, day, unread=(line.text,), reply=PASSED_OVER)
        conversation = self.leans or self.begin(day)
        conversation.today = day
        turn = heard(conversation, line.text, key)
        self.leans = conversation if turn.records or turn.question else self.leans
        return turn

    def _looks_back(self, text: str) -> bool:
        """Whether the line is about changing what was said before it."""
        from grammar.reader import read

        if too_long(text):
            return False  # it will be refused anyway
        ways = read(text, self.book.names().words).ways
        return bool(ways) and any(clause.act in BACKWARD for clause in ways[0].clauses)


@dataclass(slots=True)
class Count:
    """What came of notes, line by line."""

    lines: int = 0
    records: int = 0
    known: int = 0
    unclear: int = 0

    def add(self, turn: Turn | None) -> None:
        """Counts what came of one more line; None stands for a line that was in the book already."""
        self.lines += 1
        if turn is None:
            self.known += 1
        else:
            self.records += len(turn.records)
            self.unclear += not turn.understood

    def text(self) -> str:
        """One line that says it all."""
        parts = [f"{plural(self.records, 'record')} written"]
        if self.known:
            parts.append(f"{plural(self.known, 'line')} in the book already")
        if self.unclear:
            parts.append(f"{plural(self.unclear, 'line')} not clear")
        if self.lines and self.known == self.lines:
            parts = ["nothing new, all of it was in the book already"]
        return f"Read {plural(self.lines, 'line')}: {', '.join(parts)}."
