"""Say to the program what no grower would, and watch for a trace, a hang, growing memory or raw text for the terminal.

    python tests/torture/fuzz.py [--lines 1000000] [--seed 7] [--minutes 0] [--slowest 1.0]

Lines are the phrases of tests/phrases (but for aside.jsonl, which nobody looks into) with their bytes changed, cut,
doubled and spliced, with hostile text let in, and every tenth is whatever hypothesis makes up. All go the way of every
line, through one talk after another on copies of a small farm. Prints counts; each fault with its line and, once, its
trace. Exits with 1 if there was any.
"""

from __future__ import annotations

import argparse
import datetime as dt
import json
import os
import random
import sys
import tempfile
import time
from collections import Counter, deque
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from hypothesis import HealthCheck, Phase, given, seed, settings
from hypothesis import strategies as st

from assistant import face
from assistant.answers import Patience
from assistant.clean import clean_reply, is_clean
from assistant.conversation import Conversation
from assistant.hearing import heard
from assistant.turn import Turn
from engine.book import Book, open_book

PHRASES = Path(__file__).parents[1] / "phrases"
SPOKEN = ("terse.jsonl", "spoken.jsonl", "written.jsonl")
HASTE = Patience(0.3)  # seconds for a plan of the whole farm, which takes what it is given
TODAY = dt.date(2027, 7, 14)
WIDTH = 80
A_TALK = 250  # lines to one book
MADE_UP = 10  # every so many lines one of hypothesis's

HOSTILE = (
    "\x1b[31m", "\x1b]0;title\x07", "\x9b2J", "\x1b", "\x00", "\x07", "\x08" * 9, "\r", "\u202e", "\u2066",
    "\u200b", "\u200d", "\ufeff", "\u00ad", "\U000e0041", "\ufffd", "\udc80", "e" + "\u0301" * 30, "\U0001f955",
    "ＢＲＯＯＫ", "４", "½", "²", "٣", "௧௦", "一", "'; drop table entries; --", '" or 1=1 --', "%s%s%n",
    "%(said)s", "{0}", "{self.__class__}", "${HOME}", "$(reboot)", "`reboot`", "../../etc/passwd", "\\",
    "\\x1b[2J", "<script>", "&lt;", "NaN", "nan", "inf", "-inf", "1e999", "-0", "0", "0.0", "-5", "1/0", "0/0",
    "99999999999999999999", "1.0000000000000000000000000001", "2027-02-30", "feb 30", "32nd", "year 0",
    "9999-12-31", "1-1-1", "brook 0", "brook -1", "brook 999999", "bed 1-99999", "bed 9-1", "every 0 days",
    "in 99999 weeks", "9999 years ago", "next next next tuesday", "undo undo undo undo", "not not", "and", ",",
    ",,,,", "and and", "(", ")", '"', "'", "?", "!", "...", "lb lb", "30 30", "$$", "%", "@", "#", "None",
    "null", "true", "[]", "{}", "\t", "  ", "\u2028", "why", "yes", "no", "it", "that", "all", "the rest",
    "half",
)  # fmt: skip
NAMES = (
    "add customer {}", "add crop {}, 30 days", "add plot {} with 3 beds 50 ft by 30 in", "sold 3 lb radish to {}",
    "{} worked 3 hours", "note: {}", "tarped brook 2 with {}", "orders of {}", "when i say {} i mean radish",
)  # fmt: skip


def corpus() -> list[str]:
    """Every line of the phrases that may be looked into."""
    cases = [json.loads(line) for name in SPOKEN for line in (PHRASES / name).read_text().splitlines() if line.strip()]
    return [said for case in cases for said in case["say"]]


def mutated(chance: random.Random, lines: list[str]) -> Iterator[str]:
    """Lines without end, each a phrase that went wrong in one to four ways."""
    while True:
        line = chance.choice(lines)
        if chance.random() < 0.1:
            line = chance.choice(NAMES).format(chance.choice(HOSTILE) + chance.choice(("", " farm", " and co")))
        for _ in range(chance.choice((1, 1, 2, 2, 3, 4))):
            line = chance.choice(WAYS)(chance, line, lines)
        yield line


def _bytes(chance: random.Random, line: str, lines: list[str]) -> str:
    """Some bytes are others; what is no text any more comes in as a terminal or pipe would hand it over."""
    raw = bytearray(line.encode("utf-8", "surrogateescape") or b" ")
    for _ in range(chance.choice((1, 1, 2, 5))):
        place = chance.randrange(len(raw))
        match chance.randrange(4):
            case 0:
                raw[place] = chance.randrange(256)
            case 1:
                raw[place] ^= 1 << chance.randrange(8)
            case 2:
                raw.insert(place, chance.randrange(256))
            case _:
                del raw[place]
                raw = raw or bytearray(b" ")
    return raw.decode("utf-8", chance.choice(("replace", "surrogateescape")))


def _let_in(chance: random.Random, line: str, lines: list[str]) -> str:
    place = chance.randint(0, len(line))
    gap = chance.choice(("", " "))
    return line[:place] + gap + chance.choice(HOSTILE) + gap + line[place:]


def _word(chance: random.Random, line: str, lines: list[str]) -> str:
    """One word goes, comes twice, changes places or is another's."""
    words = line.split() or [""]
    place = chance.randrange(len(words))
    match chance.randrange(5):
        case 0:
            del words[place]
        case 1:
            words.insert(place, words[place])
        case 2:
            words.insert(chance.randrange(len(words)), words.pop(place))
        case 3:
            words[place] = chance.choice(chance.choice(lines).split() or [""])
        case _:
            words[place] = chance.choice(HOSTILE)
    return " ".join(words)


def _spliced(chance: random.Random, line: str, lines: list[str]) -> str:
    other = chance.choice(lines)
    return (
        line[: chance.randint(0, len(line))]
        + chance.choice(("", " ", " and ", ", "))
        + other[chance.randint(0, len(other)) :]
    )


def _long(chance: random.Random, line: str, lines: list[str]) -> str:
    """Said again and again, up to and beyond what is read at all."""
    if chance.random() < 0.9:
        return line
    return chance.choice((" ", ", ", " and ", "")).join([line] * chance.choice((2, 3, 8, 40, 2000)))


WAYS = (_bytes, _bytes, _let_in, _let_in, _word, _word, _spliced, _long)


@dataclass
class Watch:
    """What came of the lines."""

    slowest_allowed: float
    log: Path
    counts: Counter[str] = field(default_factory=Counter)
    faults: list[str] = field(default_factory=list)
    slowest: float = 0.0
    slowest_line: str = ""
    start: float = field(default_factory=time.monotonic)
    before: deque[str] = field(default_factory=lambda: deque(maxlen=4))  # the lines that led up to this one, and itself

    def hear(self, talk: Conversation, line: str) -> None:
        """Say one line, and look at all that came of it."""
        self.before.append(line)
        begin = time.process_time()
        try:
            turn = heard(talk, line)
            shown = clean_reply(turn.reply)
            face.line(turn)
        except Exception as error:  # noqa: BLE001  whatever it is, it is what is looked for here
            self._fault("exception", line, f"{type(error).__name__}: {error}")
            return
        took = time.process_time() - begin
        if took > self.slowest:
            self.slowest, self.slowest_line = took, line
        self._judge(turn, shown, line, took)

    def _judge(self, turn: Turn, shown: str, line: str, took: float) -> None:
        self.counts["lines"] += 1
        self.counts["written" if turn.records else "asked back" if turn.question else "answered" if turn.answers else
                    "not understood" if turn.unread else "nothing"] += 1  # fmt: skip
        if "Something broke" in turn.reply:
            self._fault("broke", line, self._last_trace())
        if took > self.slowest_allowed:
            self._fault("slow", line, f"{took:.1f} s")
        if not is_clean(turn.input) or not is_clean(shown):
            self._fault("raw", line, repr(shown))
        if any(len(one) > WIDTH for one in shown.split("\n")):
            self._fault("wide", line, max(shown.split("\n"), key=len))

    def check(self, book: Book) -> None:
        """The book itself is sound, and nothing raw is in it."""
        for finding in book.verify():
            self._fault("book", str(finding), "")
        for line in book.latest_lines():
            if not is_clean(line.said):
                self._fault("stored raw", line.said, "")
        self.counts["books"] += 1

    def _fault(self, what: str, line: str, about: str) -> None:
        self.counts[f"FAULT {what}"] += 1
        place = about.splitlines()[-3:] if what == "broke" else [about]
        if sum(one.startswith(f"{what} {place}") for one in self.faults) < 3:
            self.faults.append(f"{what} {place}: {line[:300]!r}")
            said = "".join(f"\n  > {one[:300]!r}" for one in self.before)
            print(f"{what}:{said}\n  {about}", flush=True)

    def _last_trace(self) -> str:
        text = self.log.read_text(errors="replace") if self.log.exists() else ""
        return "Traceback" + text.rpartition("Traceback")[2].rstrip()

    def text(self) -> str:
        """What there was to count so far."""
        counts = ", ".join(f"{number} {what}" for what, number in sorted(self.counts.items()))
        return (
            f"{counts}; slowest {self.slowest:.2f} s {self.slowest_line[:60]!r}; memory {memory():.0f} MB;"
            f" {time.monotonic() - self.start:.0f} s"
        )


def memory() -> float:
    """Megabytes of this process now."""
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE") / 1e6


def said(lines: Iterator[str], count: int, number: int) -> Iterator[str]:
    """So many lines, every tenth made up by hypothesis."""
    made_up: list[str] = []

    @seed(number)
    @settings(max_examples=max(1, count // MADE_UP), database=None, deadline=None, phases=[Phase.generate],
              suppress_health_check=list(HealthCheck))  # fmt: skip
    @given(st.one_of(st.text(max_size=80), st.lists(st.sampled_from(HOSTILE), max_size=8).map(" ".join)))
    def collect(text: str) -> None:
        made_up.append(text)

    collect()
    for place in range(count):
        yield made_up.pop() if place % MADE_UP == 0 and made_up else next(lines)


def farm(folder: Path) -> Path:
    """A book with the small farm of the phrases in it."""
    where = folder / "farm.book"
    with open_book(where) as book:
        talk = Conversation(book, today=TODAY)
        for line in (PHRASES / "farm.txt").read_text().splitlines():
            if line and not line.startswith("#"):
                heard(talk, line)
    return where


def main() -> int:
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--lines", type=int, default=1_000_000)
    options.add_argument("--seed", type=int, default=7)
    options.add_argument("--minutes", type=float, default=0, help="stop after so long (default: when all is said)")
    options.add_argument("--slowest", type=float, default=1.0, help="seconds of work a line may take")
    chosen = options.parse_args()
    with tempfile.TemporaryDirectory(dir="/dev/shm" if Path("/dev/shm").is_dir() else None) as name:
        folder = Path(name)
        for what in ("DATA", "STATE", "CACHE"):
            os.environ[f"XDG_{what}_HOME"] = f"{folder}/{what.lower()}"
        watch = Watch(chosen.slowest, folder / "state" / "rowcall" / "rowcall.log")
        home, lines = farm(folder), mutated(random.Random(chosen.seed), corpus())
        talks = 0
        while watch.counts["lines"] < chosen.lines and not (
            chosen.minutes and time.monotonic() - watch.start > chosen.minutes * 60
        ):
            talks += 1
            with open_book(home) as first, open_book(first.backup(folder / "talk.book", replace=True)) as book:
                talk = Conversation(book, today=TODAY, by="Ines", width=WIDTH, patience=HASTE)
                for line in said(lines, min(A_TALK, chosen.lines - watch.counts["lines"]), chosen.seed + talks):
                    watch.hear(talk, line)
                watch.check(book)
            if talks % 20 == 1:
                print(watch.text(), flush=True)
        print(watch.text())
    return 1 if watch.faults else 0


if __name__ == "__main__":
    sys.exit(main())
