"""One line of talk and what came of it: the fields of the record contract, in its order."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Any

Json = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Question:
    """What must be answered before a clause is written; `about` is one of the contract's words."""

    about: str
    choices: tuple[str, ...]
    text: str


@dataclass(frozen=True, slots=True)
class Turn:
    """What was heard, written, answered, asked back and not understood, and the plain text for the person.

    `records` and `answers` are JSON objects of the contract. `understood` is False where something was asked or unread.
    """

    input: str
    today: dt.date
    records: tuple[Json, ...] = ()
    answers: tuple[Json, ...] = ()
    question: Question | None = None
    unread: tuple[str, ...] = ()
    reply: str = ""

    @property
    def done(self) -> bool:
        """Whether all of it was understood, and no paper that was asked for could not be written."""
        files = (file for answer in self.answers if answer["topic"] == "papers" for file in answer["result"]["files"])
        return self.understood and not any(file["came_to"] == "failed" for file in files)

    @property
    def understood(self) -> bool:
        return self.question is None and not self.unread
