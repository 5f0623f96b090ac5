"""A fault of the program: one sentence to the person, the trace into a log file, and on with the work."""

from __future__ import annotations

import re
import traceback
from pathlib import Path

from assistant.clean import clean_reply

LARGEST_LOG = 1_000_000  # bytes; beyond it the older half is dropped
PASSWORD = re.compile(r"(://[^:/@\s]*):[^@/\s]*@")


def mishap(error: BaseException) -> str:
    """Keeps the trace and says in a sentence that something broke and where the trace is."""
    log = _kept(error)
    where = f" The trace is in {log}." if log else ""
    return f"Something broke inside the program: {type(error).__name__}.{where}"


def without_passwords(text: str) -> str:
    """The text with the password of every database address left out."""
    return PASSWORD.sub(r"\1:***@", text)


def _kept(error: BaseException) -> Path | None:
    """The log with the trace in it; None where nothing can be written, since a second fault must not hide the first."""
    from assistant.places import private_file, state_folder

    trace = clean_reply(without_passwords("".join(traceback.format_exception(error))))
    try:
        log = private_file(state_folder() / "rowcall.log")
        _shorten(log)
        with log.open("a", encoding="utf-8", errors="backslashreplace") as file:
            file.write(f"{trace}\n")
    except OSError:
        return None
    return log


def _shorten(log: Path) -> None:
    if log.stat().st_size > LARGEST_LOG:
        log.write_bytes(log.read_bytes()[-LARGEST_LOG // 2 :])
