"""The ways in which a book is tortured; each gives what it counted and what was found wrong."""

from __future__ import annotations

import os
import random
import subprocess
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from hands import Hand
from told import Told, faults, missing

from engine import errors
from engine.book import open_book

LONGEST = 0.8  # seconds until a kill; opening, and some twenty lines
FULL, READ_ONLY = "disk is full", "read-only"
REFUSED = 2  # the exit code
NewBook = Callable[[Path], str]


@dataclass
class Count:
    """What was done to books, and what was found wrong with them."""

    rounds: int = 0
    books: int = 0
    shown: int = 0
    kept: int = 0
    slowest_opening: float = 0.0  # seconds
    seen: dict[str, int] = field(default_factory=dict)
    wrong: list[str] = field(default_factory=list)

    def saw(self, what: str) -> None:
        self.seen[what] = self.seen.get(what, 0) + 1

    def check(self, book: str, shown: list[dict[str, Any]], *told: Told) -> None:
        """Open the book and hold it against what was shown and what was told."""
        self.shown += sum(bool(turn["records"]) for turn in shown)
        start = time.perf_counter()
        try:
            open_book(book).close()
        except errors.BookError as error:
            self.wrong.append(f"it does not open: {error}")
            return
        self.slowest_opening = max(self.slowest_opening, time.perf_counter() - start)
        self.wrong += faults(book, shown, *told)

    def text(self, name: str) -> str:
        """One line that says it all."""
        seen = "".join(f", {number} {what}" for what, number in sorted(self.seen.items()))
        return (
            f"{name}: {self.rounds} rounds on {self.books} books{seen}; {self.shown} lines shown, {self.kept} kept in"
            f" finished books; slowest opening {self.slowest_opening * 1000:.0f} ms; {len(self.wrong)} wrong"
        )


def in_file(folder: Path) -> str:
    """The path of a new book."""
    return str(folder / "farm.book")


def killed(rounds: int, told: Told, chance: random.Random, new_book: NewBook = in_file) -> Count:
    """kill -9 at random moments while notes are read; the next reading goes on where the last one was killed."""
    count = Count()
    while count.rounds < rounds:
        with _folder() as folder:
            book, done = new_book(folder), False
            count.books += 1
            while not done and count.rounds < rounds:
                count.rounds += 1
                hand = Hand(book, told.notes, folder)
                done = _kill_after(hand, chance.uniform(0, LONGEST))
                count.saw("killed" if hand.code and hand.code < 0 else "done before")
                count.check(book, hand.shown, told)
            _read_to_the_end(count, book, folder, told)
    return count


def two_killed(rounds: int, one: Told, other: Told, chance: random.Random, new_book: NewBook = in_file) -> Count:
    """Two processes write in one book; one is killed, then the other."""
    count = Count()
    while count.rounds < rounds:
        with _folder() as folder:
            book, done = new_book(folder), False
            count.books += 1
            _read_to_the_end(count, book, folder, one, check=False)  # the farm, and a season to write on
            while not done and count.rounds < rounds:
                count.rounds += 1
                hands = [Hand(book, one.notes, folder), Hand(book, other.notes, folder)]
                chance.shuffle(hands)
                ended = [_kill_after(hand, chance.uniform(0, LONGEST)) for hand in hands]
                done = all(ended)
                count.saw("killed")
                count.check(book, [turn for hand in hands for turn in hand.shown], one, other)
            _read_to_the_end(count, book, folder, one)
            _read_to_the_end(count, book, folder, other)
    return count


def two_at_once(told: tuple[Told, ...], farm: Told, new_book: NewBook = in_file) -> Count:
    """Processes write in one book at once, to their ends: nothing is refused, nothing is lost."""
    count = Count(rounds=1, books=1)
    with _folder() as folder:
        book = new_book(folder)
        _read_to_the_end(count, book, folder, farm, check=False)
        hands = [Hand(book, one.notes, folder) for one in told]
        count.wrong += [f"ended with {hand.code}: {hand.complaints}" for hand in hands if hand.wait() != 0]
        count.check(book, [turn for hand in hands for turn in hand.shown], farm, *told)
        for one in told:
            _read_to_the_end(count, book, folder, one)
    return count


def disk_filled(rounds: int, told: Told, chance: random.Random) -> Count:
    """The disk fills up while notes are read; with room again, reading goes on."""
    count = Count()
    mounts = os.geteuid() == 0 and _can_mount()
    count.saw("on a small disk of its own" if mounts else "with a limit on files")
    while count.rounds < rounds:
        count.rounds += 1
        count.books += 1
        room = chance.randrange(60, 700) * 1024
        with _folder() as folder, _small_disk(room) if mounts else _folder() as disk:
            book = str(disk / "farm.book")
            hand = Hand(book, told.notes, folder, largest_file=None if mounts else room)
            if chance.random() < 0.3:
                _kill_after(hand, chance.uniform(0, 4 * LONGEST))
            hand.wait()
            _told_in_a_sentence(count, hand, FULL if mounts else "")
            _opens_or_says_why(count, book)
            if mounts:
                _make_room(disk)
            count.check(book, hand.shown, told)
            _read_to_the_end(count, book, folder, told)
    return count


def made_read_only(rounds: int, told: Told, chance: random.Random) -> Count:
    """The file is made read-only while notes are read; the next start refuses it and leaves it as it is."""
    count = Count()
    while count.rounds < rounds:
        with _folder() as folder:
            count.rounds += 1
            count.books += 1
            book = folder / "farm.book"
            first = Hand(str(book), told.notes, folder)
            time.sleep(chance.uniform(0, 2 * LONGEST))
            if book.exists():
                book.chmod(0o444)
            first.kill() if chance.random() < 0.5 else first.wait()
            _told_in_a_sentence(count, first, READ_ONLY)
            if book.exists():
                before = book.read_bytes()
                second = Hand(str(book), told.notes, folder)
                second.wait()
                _told_in_a_sentence(count, second, READ_ONLY, must=True)
                if book.read_bytes() != before:
                    count.wrong.append("a read-only book was changed")
                book.chmod(0o600)
            count.check(str(book), first.shown, told)
            _read_to_the_end(count, str(book), folder, told)
    return count


def _kill_after(hand: Hand, seconds: float) -> bool:
    """Kill when the time is over; whether it was done before."""
    until = time.monotonic() + seconds
    while time.monotonic() < until and not hand.is_done:
        time.sleep(0.002)
    done = hand.is_done
    hand.kill()
    return done


def _read_to_the_end(count: Count, book: str, folder: Path, told: Told, *, check: bool = True) -> None:
    hand = Hand(book, told.notes, folder)
    if hand.wait() != 0:
        count.wrong.append(f"reading on ended with {hand.code}: {hand.complaints}")
    if check:
        lost = missing(book, told)
        count.wrong += lost
        count.kept += 0 if lost else len(told.said)


def _told_in_a_sentence(count: Count, hand: Hand, sentence: str, *, must: bool = False) -> None:
    """A process that could not go on said so in one sentence and with the code for it."""
    if hand.code == REFUSED:
        count.saw("refused")
        if sentence not in hand.complaints or hand.complaints.count("\n") != 1:
            count.wrong.append(f"instead of a sentence with {sentence!r}: {hand.complaints}")
    elif must or hand.code not in (0, -9):
        count.wrong.append(f"ended with {hand.code}: {hand.complaints}")


def _opens_or_says_why(count: Count, book: str) -> None:
    try:
        open_book(book).close()
        count.saw("opened while full")
    except errors.BookError as error:
        count.saw("not opened while full")
        if not str(error).endswith("."):
            count.wrong.append(f"no sentence: {error}")


@contextmanager
def _folder() -> Iterator[Path]:
    with tempfile.TemporaryDirectory(prefix="rowcall-torture-") as folder:
        yield Path(folder)


@contextmanager
def _small_disk(room: int) -> Iterator[Path]:
    """A disk of so many bytes; gone when the block ends."""
    with _folder() as folder:
        subprocess.run(["mount", "-t", "tmpfs", "-o", f"size={room}", "rowcall", folder], check=True)
        try:
            yield folder
        finally:
            subprocess.run(["umount", folder], check=True)


def _make_room(disk: Path) -> None:
    subprocess.run(["mount", "-o", "remount,size=100m", disk], check=True)


def _can_mount() -> bool:
    try:
        with _small_disk(100_000):
            return True
    except (OSError, subprocess.CalledProcessError):
        return False
