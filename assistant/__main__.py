"""The command `rowcall`: options in, phrases from wherever they come, an exit code out. It alone has a clock."""

from __future__ import annotations

import argparse
import atexit
import gc
import io
import os
import select
import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from assistant import face
from assistant.clean import LONGEST, clean_reply
from assistant.hearing import heard
from assistant.turn import Turn
from assistant.wording.text import plural, screen_width
from engine.errors import BookError

if TYPE_CHECKING:
    from assistant.conversation import Conversation
    from engine.book import Book

    Show = Callable[[Turn], None]
    from assistant.reading import Begin

UNDERSTOOD, ASKED, FAILED, STOPPED = 0, 1, 2, 130  # 130: ended by ctrl-c, as shells count it
SILENCE = 1.0  # seconds
SHOWN_AGAIN = 500  # characters
AT_LEAST = 20_000  # things made anew, some dozen lines' worth, before it is worth looking for rubbish among them

DESCRIPTION = "Say in plain words what was done on the farm, ask what is coming. Without a phrase, the chat opens."
EPILOG = """\
Phrases may also come through a pipe, a line each. Exit code: 0 all understood, 1 something was asked back, not
understood or not written, 2 wrong use or no book. The book is --book, else $ROWCALL_BOOK, else a file in your data
folder."""


def main(arguments: Sequence[str] | None = None) -> int:
    """Runs the command and returns its exit code; every way out is a sentence, never a trace."""
    gc.disable()  # what a start loads all stays: to look through it for rubbish would take a third of the whole time
    atexit.register(gc.freeze)
    options = parse(arguments)
    speak_any_script()
    try:
        code = run(options)
        sys.stdout.flush()
    except KeyboardInterrupt:
        print(file=sys.stderr)
        return STOPPED
    except BrokenPipeError:
        return _reader_left()
    except BookError as error:
        return _fail(str(error))
    except Exception as error:  # noqa: BLE001  the last catch: a sentence to the person, the trace to a file
        from assistant.mishaps import mishap

        return _fail(mishap(error))
    finally:
        gc.enable()
    return code


def parse(arguments: Sequence[str] | None) -> argparse.Namespace:
    """The options; wrong ones end the program with code 2 and a line that says why."""
    parser = argparse.ArgumentParser(
        "rowcall", description=DESCRIPTION, epilog=EPILOG, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("phrases", nargs="*", metavar="PHRASE", help="answer these and leave")
    parser.add_argument("--book", metavar="PATH-OR-URL", help="the farm book to work with")
    parser.add_argument("--today", type=_day, metavar="YYYY-MM-DD", help="the day it is (default: the clock's)")
    parser.add_argument("--by", metavar="NAME", help="who is speaking; kept with each record")
    parser.add_argument(
        "--read", action="append", default=[], type=Path, metavar="NOTES", help="read notes, a file or a folder"
    )
    parser.add_argument("--try", dest="dry", action="store_true", help="show how phrases would be read; write nothing")
    parser.add_argument("--json", action="store_true", help="print one JSON object for each line")
    parser.add_argument("--demo", action="store_true", help="talk to a made-up farm in the middle of its season")
    parser.add_argument("--backup", type=Path, metavar="FILE", help="copy the book as it is now into a new file")
    parser.add_argument(
        "--copy-to", metavar="PATH-OR-URL", help="copy the book into a new one, also from a file to PostgreSQL or back"
    )
    parser.add_argument(
        "--copies", type=_count, metavar="N", help="daily copies kept beside the book (default: $ROWCALL_COPIES or 7)"
    )
    parser.add_argument(
        "--from-export", type=Path, metavar="FILE", help="fill a new book from an export of a whole book"
    )
    parser.add_argument(
        "--plan-seconds", type=_seconds, metavar="N", help="how long a plan of the whole farm may take (default: 8)"
    )
    parser.add_argument("--check", action="store_true", help="hold all that the book keeps against what was entered")
    parser.add_argument("--version", action=Version, nargs=0, help="print the version")
    options = parser.parse_args(arguments)
    if options.demo and (options.book or options.read):
        parser.error("--demo has a book and notes of its own: leave out --book and --read")
    return options


def _count(text: str) -> int:
    if not (text.isascii() and text.isdigit() and len(text) < 5):
        raise argparse.ArgumentTypeError(f"{text!r} is no number of copies")
    return int(text)


def _seconds(text: str) -> float:
    if not (text.isascii() and text.isdigit() and 0 < int(text) < 3600):
        raise argparse.ArgumentTypeError(f"{text!r} is no number of seconds up to an hour")
    return float(text)


class Version(argparse.Action):
    """Looks the version up only when asked: reading package metadata is slow."""

    def __call__(self, parser: argparse.ArgumentParser, *unused: object) -> None:
        from importlib.metadata import version

        print(f"rowcall {version('rowcall')}")
        parser.exit()


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError(f"{text!r} is no day; write it as 2027-06-14") from error


def run(options: argparse.Namespace) -> int:
    """Reads notes and answers phrases where there are any; else hears the pipe, else opens the chat."""
    clock = _clock(options)
    with _book(options) as book:
        if _is_care(options):
            return _care(book, options)
        if options.from_export:
            return _fill(book, options.from_export)
        if not (options.demo or options.dry):
            _copy_of_day(book, _copies(options))
        begin = _begin(book, options)
        if options.read or not options.phrases:
            tidy_up()
        show = _show_json if options.json else _show_text
        if options.read or options.phrases:
            read = [_read(notes, book, begin, clock(), options) for notes in options.read]
            return max([*read, _shown(_said(options.phrases, begin(clock())), show)])
        if sys.stdin.isatty() and sys.stdout.isatty() and not options.json:
            return _chat(begin(clock()), book, clock)
        if options.demo and not something_piped():
            return _sample(book, options, clock())
        return _shown(_piped(begin(clock())), show)


def tidy_up() -> None:
    """Looks for rubbish from here on, as a long talk makes some: among what it made itself, and not at every line."""
    gc.freeze()
    gc.set_threshold(AT_LEAST, 10, 10)
    gc.enable()


def _clock(options: argparse.Namespace) -> Callable[[], date]:
    """The day anew at each call: as given, the demo's, or the one on the wall where the farm is."""
    if options.demo and not options.today:
        from assistant.demo import DAY

        return lambda: DAY
    return (lambda: options.today) if options.today else date.today


def _book(options: argparse.Namespace) -> Book:
    if options.demo:
        from assistant.demo import demo_book

        return demo_book(sys.stderr)
    from assistant.progress import reckoned_on
    from engine import open_book

    where = options.book or os.environ.get("ROWCALL_BOOK") or _default_book()
    heed = reckoned_on(sys.stderr, screen_width())
    return open_book(where, create=not _is_care(options), copies=_copies(options), heed=heed)


def _copies(options: argparse.Namespace) -> int:
    """How many daily copies are kept."""
    if options.copies is not None:
        return int(options.copies)
    try:
        return _count(os.environ.get("ROWCALL_COPIES") or "7")
    except argparse.ArgumentTypeError as error:
        raise BookError(f"ROWCALL_COPIES: {error}.") from error


def _copy_of_day(book: Book, keep: int) -> None:
    """Copies the book on its first use on a day by the clock; where that fails, says so and goes on."""
    try:
        book.copy_of_day(date.today(), keep)
    except BookError as error:
        print(f"rowcall: today's copy of the book was not made: {clean_reply(str(error))}", file=sys.stderr)


def _default_book() -> str:
    from assistant.places import book_file

    return str(book_file())


def _is_care(options: argparse.Namespace) -> bool:
    """Whether the book is to be copied or checked, and not talked to."""
    return bool(options.backup or options.copy_to or options.check)


def _care(book: Book, options: argparse.Namespace) -> int:
    """Copies and checks the book."""
    if options.backup:
        print(f"The book {book.name} is copied to {book.backup(options.backup)}.")
    if options.copy_to:
        book.copy_to(options.copy_to)
        print("All lines and entries of the book are copied.")
    if not options.check:
        return UNDERSTOOD
    findings = book.verify()
    for finding in findings:
        print(f"{finding.what}: {finding.about}: {'; '.join(finding.figures)}")
    print(f"{book.name}: {plural(len(findings), 'fault')} found." if findings else f"{book.name} is sound.")
    return ASKED if findings else UNDERSTOOD


def _fill(book: Book, export: Path) -> int:
    """Writes the records of an export into a book that has none."""
    from engine.papers import exported

    facts = sorted(
        exported(export), key=lambda fact: fact.entry
    )  # as they were entered: a lot is called after its entry
    if book.facts(limit=1):
        raise BookError(f"{book.name} holds records already; nothing was written. Give a new book with --book.")
    for fact in facts:
        with book.change(fact.said, fact.by, datetime.now(UTC), today=fact.event.date) as change:
            change.first = fact.entry
            change.add(fact.event)
    print(f"{plural(len(facts), 'record')} of {export} are in {book.name}.")
    return UNDERSTOOD


def _begin(book: Book, options: argparse.Namespace) -> Begin:
    """Begins a conversation on a day."""
    from assistant.answers import PLAN_SECONDS, Patience
    from assistant.conversation import Conversation
    from assistant.progress import shown_on

    shown = shown_on(sys.stderr if sys.stderr.isatty() and not options.json else None, screen_width)
    patience = Patience(options.plan_seconds or PLAN_SECONDS, shown)
    width, folder = screen_width(), Path.cwd()
    return lambda day: Conversation(
        book, today=day, by=options.by, width=width, dry=options.dry, folder=folder, patience=patience
    )


def _shown(turns: Iterable[Turn], show: Show) -> int:
    """Shows each turn as it comes; the exit code of them all."""
    code = UNDERSTOOD
    for turn in turns:
        show(turn)
        code = code if turn.done else ASKED
    return code


def _said(lines: Iterable[str], conversation: Conversation) -> Iterator[Turn]:
    """What comes of lines that are one talk."""
    return (heard(conversation, line) for line in lines)


def _piped(conversation: Conversation) -> Iterator[Turn]:
    """What comes of a pipe, read as notes are: remarks are passed over, a day on a line holds for those below it."""
    from assistant.notes import day_line, is_remark

    for number, line in enumerate(piped(), 1):
        conversation.today = day_line(line, f"line {number}") or conversation.today
        yield Turn(line, conversation.today) if is_remark(line) else heard(conversation, line)


def _read(notes: Path, book: Book, begin: Begin, today: date, options: argparse.Namespace) -> int:
    """Reads notes, shows the lines that need a look or were answered, and says in one line what came of them all."""
    from assistant.reading import Count, Reading

    count = Count()
    for line, turn in Reading(book, begin, today).read(notes):
        count.add(turn)
        if options.json:
            _show_json(turn or Turn(line.text, line.day or today, reply="In the book already."))
        elif turn and (turn.answers or not turn.understood):
            print(clean_reply(f"{line.source}, line {line.number}: {_start(line.text)}"))
            _show_text(turn)
    print(count.text(), file=sys.stderr if options.json else sys.stdout)
    return ASKED if count.unclear else UNDERSTOOD


def _start(text: str) -> str:
    """A line of notes, or the beginning of one that is too long to be shown again."""
    return text if len(text) <= SHOWN_AGAIN else f"{text[:SHOWN_AGAIN]} ..."


def _chat(conversation: Conversation, book: Book, clock: Callable[[], date]) -> int:
    from assistant.repl import Chat

    book.names()  # so that what may take long is shown before there is a prompt
    Chat(conversation, book, clock).run()
    return UNDERSTOOD


def _sample(book: Book, options: argparse.Namespace, today: date) -> int:
    """Plays a short talk on a copy of the demo's book, so that it is the same each time."""
    from assistant.demo import SAMPLE, copy_of

    def show(turn: Turn) -> None:
        print(f"> {turn.input}\n{clean_reply(turn.reply)}\n")

    with copy_of(book) as copy:
        return _shown(_said(SAMPLE, _begin(copy, options)(today)), show)


def _show_json(turn: Turn) -> None:
    print(face.line(turn), flush=True)


def _show_text(turn: Turn) -> None:
    if turn.reply:
        print(clean_reply(turn.reply), flush=True)


def piped() -> Iterator[str]:
    """The lines of standard input; of one that never ends only as much is held as tells that it is too long."""
    while sys.stdin and (line := sys.stdin.readline(LONGEST + 2)):
        yield line.rstrip("\r\n")
        while line and not line.endswith("\n") and len(line) >= LONGEST:
            line = sys.stdin.readline(LONGEST)


def something_piped() -> bool:
    """Whether lines come in from a file or program; one that is silent for a second is taken to have none."""
    if not sys.stdin or sys.stdin.isatty() or not isinstance(sys.stdin.buffer, io.BufferedReader):
        return False
    try:
        ready, _, _ = select.select([sys.stdin], [], [], SILENCE)
    except (OSError, ValueError):
        return True  # a system that cannot wait for pipes: read it, there is an end to it
    return bool(ready) and bool(sys.stdin.buffer.peek(1))


def speak_any_script() -> None:
    """Letters that a terminal or pipe has no code for are shown as a mark; bytes that are no text come in as one."""
    for stream in (sys.stdin, sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")


def _fail(sentence: str) -> int:
    print(f"rowcall: {clean_reply(sentence)}", file=sys.stderr)
    return FAILED


def _reader_left() -> int:
    """Whoever read the output has gone (as in `rowcall ... | head -1`): leave without another word."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return ASKED


if __name__ == "__main__":
    sys.exit(main())
