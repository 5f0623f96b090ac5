"""The one path of a line: the chat, a pipe, arguments and notes files all hear their lines here."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

from assistant.clean import LONGEST, clean_line
from assistant.turn import Turn
from assistant.wording.text import wrapped
from engine.errors import BookError, WrongEntry

if TYPE_CHECKING:
    from assistant.conversation import Conversation

SHOWN = 60  # characters of a refused line that are shown again

# A long evening told in one breath has some 150 words; far beyond that, reading takes seconds and helps nobody.
MOST_WORDS = 300
WORD = re.compile(r"\w+|[^\w\s]")


def heard(conversation: Conversation, line: str, source: str | None = None) -> Turn:
    """What came of the line, cleaned first; `source` is the key of a line of notes.

    A fault of ours becomes a reply. What does not fit the book is said too; a book that fails raises BookError.
    """
    if length := too_long(line):
        return _too_long(conversation, line, length)
    text = clean_line(line)
    if not text:
        return Turn(input=text, today=conversation.today)
    turn = _heard(conversation, text, source)
    return replace(turn, reply=_folded(turn.reply, conversation.width))


def too_long(line: str) -> str | None:
    """What there is too much of in a line to read it at all; None for a line that can be read."""
    if len(line) > LONGEST:
        return f"{len(line):,} characters, more than {LONGEST:,}"
    words = len(WORD.findall(clean_line(line)))
    return f"{words:,} words and signs, more than {MOST_WORDS}" if words > MOST_WORDS else None


def _heard(conversation: Conversation, text: str, source: str | None) -> Turn:
    try:
        return conversation.hear(text, source=source)
    except WrongEntry as error:
        return Turn(input=text, today=conversation.today, unread=(text,), reply=str(error))
    except BookError:
        raise
    except Exception as error:  # noqa: BLE001  whatever broke, the grower's next line must still be heard
        return _broken(conversation, text, error)


def _folded(reply: str, width: int) -> str:
    """The reply with its few wide lines folded; columns were laid out for the width already."""
    return "\n".join(wrapped(line, width, 2) if len(line) > width else line for line in reply.split("\n"))


def _too_long(conversation: Conversation, line: str, length: str) -> Turn:
    start = clean_line(line[:SHOWN])
    reply = f'That line has {length}; nothing of it was read. Say it in several lines. It begins "{start} ...".'
    reply = _folded(reply, conversation.width)
    return Turn(input=clean_line(line[:LONGEST]), today=conversation.today, unread=(start,), reply=reply)


def _broken(conversation: Conversation, text: str, error: Exception) -> Turn:
    from assistant.mishaps import mishap

    reply = f'{mishap(error)} The line may not be in the book; ask "recap today" to see.'
    return Turn(input=text, today=conversation.today, unread=(text,), reply=reply)
