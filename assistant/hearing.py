"""The one path of a line: the chat, a pipe, arguments and notes files all hear their lines here."""

from __future__ import annotations

from typing import TYPE_CHECKING

from assistant.clean import LONGEST, clean_line
from assistant.turn import Turn
from engine.errors import BookError, WrongEntry

if TYPE_CHECKING:
    from assistant.conversation import Conversation

SHOWN = 60  # characters of a refused line that are shown again


def heard(conversation: Conversation, line: str, source: str | None = None) -> Turn:
    """What came of the line, cleaned first; `source` is the key of a line of notes.

    A fault of ours becomes a reply. What does not fit the book is said too; a book that fails raises BookError.
    """
    if len(line) > LONGEST:
        return _too_long(conversation, line)
    text = clean_line(line)
    if not text:
        return Turn(input=text, today=conversation.today)
    try:
        return conversation.hear(text, source=source)
    except WrongEntry as error:
        return Turn(input=text, today=conversation.today, unread=(text,), reply=str(error))
    except BookError:
        raise
    except Exception as error:  # noqa: BLE001  whatever broke, the grower's next line must still be heard
        return _broken(conversation, text, error)


def _too_long(conversation: Conversation, line: str) -> Turn:
    start = clean_line(line[:SHOWN])
    reply = f'That line has {len(line):,} characters, more than {LONGEST:,}, and was not read: "{start} ..."'
    return Turn(input=start, today=conversation.today, unread=(start,), reply=reply)


def _broken(conversation: Conversation, text: str, error: Exception) -> Turn:
    from assistant.mishaps import mishap

    reply = f'{mishap(error)} The line may not be in the book; ask "recap today" to see.'
    return Turn(input=text, today=conversation.today, unread=(text,), reply=reply)
