"""Evenings at the farm as transcripts: what was said and every word of the replies.

    python tests/dialogues/say.py              shows how the replies differ from the transcripts
    python tests/dialogues/say.py --rewrite    writes them as they are now, to be read as a diff before they are kept

A transcript opens with its day and its farm: "# 2027-07-14 at Larkspur Hollow" is a copy of the farm in ../phrases,
"# 2027-03-01 with an empty book" a new one. "> " is what the grower says, the lines up to the next one are the reply.
"# 2027-07-15" moves the day on and "# the program is started anew" begins a new talk over the same book.
"""

from __future__ import annotations

import argparse
import datetime as dt
import difflib
import re
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

HERE = Path(__file__).parent
PHRASES = HERE.parent / "phrases"
sys.path.insert(0, str(PHRASES))

from run import copy_book, set_up  # noqa: E402 - lies beside its data, outside any package

from assistant.conversation import Conversation  # noqa: E402
from assistant.hearing import heard  # noqa: E402
from engine import Book, open_book  # noqa: E402

TRANSCRIPTS = tuple(sorted(HERE.glob("*.txt")))
DAY = re.compile(r"# (\d{4}-\d\d-\d\d)\b")
ANEW = "# the program is started anew"
WIDTH = 80


def said_again(transcript: str, larkspur: Path, desk: Path) -> str:
    """The transcript with the replies that its lines get now."""
    book_file = desk / "evening.book"
    book_file.unlink(missing_ok=True)
    if "Larkspur Hollow" in transcript.split("\n", 1)[0]:
        copy_book(larkspur, book_file)
    with open_book(book_file) as book:
        return "\n".join(_replayed(transcript, book)).lstrip("\n") + "\n"


def _replayed(transcript: str, book: Book) -> Iterator[str]:
    talk = None
    for line in transcript.split("\n"):
        if day := DAY.match(line):
            today = dt.date.fromisoformat(day[1])
            talk = talk or _talk(book, today)
            talk.today = today
            yield from ["", line]
        elif line == ANEW:
            assert talk is not None
            talk = _talk(book, talk.today)
            yield from ["", line]
        elif line.startswith("#"):
            yield from ["", line]
        elif line.startswith("> "):
            assert talk is not None, "a transcript begins with its day"
            yield from ["", line]
            yield from filter(None, heard(talk, line[2:]).reply.split("\n"))


def _talk(book: Book, today: dt.date) -> Conversation:
    return Conversation(book, today=today, by="Ines", width=WIDTH)


def main() -> int:
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--rewrite", action="store_true", help="keep the replies as they are now")
    chosen = options.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        desk = Path(folder)
        larkspur = desk / "larkspur.book"
        if not_taken := set_up(PHRASES / "farm.txt", larkspur):
            print("The farm itself is not understood:", *(turn.input for turn in not_taken), sep="\n", file=sys.stderr)
            return 2
        for file in TRANSCRIPTS:
            was, now = file.read_text(), said_again(file.read_text(), larkspur, desk)
            print(*difflib.unified_diff(was.split("\n"), now.split("\n"), file.name, "now", lineterm="", n=1), sep="\n")
            if chosen.rewrite:
                file.write_text(now)
    return 0


if __name__ == "__main__":
    sys.exit(main())
