"""Questions to a book of twenty seasons, each held against the same question to a book of one.

    python tests/benchmarks/bench_seasons.py [--seasons 20] [--entries 25600] [--times 15] [--keep FOLDER]

Makes both books (of one made-up farm of 60 beds), asks each question of both in turn, and prints medians, the ratio
and whether the targets are met: within 1.5 times the small book's time and under 100 ms. "Afresh" is the same question
right after a line was logged, so that nothing of its answer is known yet. Not a test: figures depend on the machine.
"""

from __future__ import annotations

import argparse
import datetime as dt
import os
import platform
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from itertools import chain
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

from bench_book import LAST, against_bare, farm, fill, log_a_line, years

from engine.asks import Ask
from engine.bed_story import bed_story
from engine.beds import free_beds
from engine.book import Book, open_book
from engine.harvest import to_harvest
from engine.recap import recap
from engine.supply import can_sell
from engine.trace import trace
from engine.view import View

RATIO, LONGEST, MEMORY = 1.5, 100.0, 200  # times the small book, milliseconds, megabytes
WEEK = {"start": LAST - dt.timedelta(6), "end": LAST}

Asked = Callable[[View], object]
QUESTIONS: dict[str, Asked] = {
    "recap": lambda view: recap(view, Ask(topic="recap", **WEEK)),
    "can_sell": lambda view: can_sell(view, Ask(topic="can_sell")),
    "to_harvest": lambda view: to_harvest(view, Ask(topic="to_harvest")),
    "free_beds": lambda view: free_beds(view, Ask(topic="free_beds")),
    "bed_story": lambda view: bed_story(view, Ask(topic="bed_story", beds=("Brook 4",))),
    "trace": lambda view: trace(view, Ask(topic="trace", crop="radish")),
    "trace a customer": lambda view: trace(view, Ask(topic="trace", customer="Harbour Oven")),
}


def median(times: list[float]) -> float:
    return statistics.median(times) * 1000


def took(call: Callable[[], object]) -> float:
    start = time.perf_counter()
    call()
    return time.perf_counter() - start


def in_turn(books: tuple[Book, Book], call: Callable[[Book], object], times: int) -> tuple[float, float]:
    """Median milliseconds on both, asked turn by turn, so that what else the machine does falls on both."""
    found: tuple[list[float], list[float]] = ([], [])
    for _ in range(times):
        for book, one in zip(books, found, strict=True):
            one.append(took(lambda book=book: call(book)))
    return median(found[0]), median(found[1])


def row(name: str, one: float, many: float, longest: float | None = LONGEST) -> bool:
    """Print one line; whether it is within the targets."""
    well = many <= RATIO * one and (longest is None or many < longest)
    print(f"{name:28}{one:9.2f} ms{many:9.2f} ms{many / one:8.2f}  {'' if well else 'over'}", flush=True)
    return well


def ask_all(small: Path, large: Path, times: int) -> list[bool]:
    well = []
    for name, opened in (("opening", _opened), ("opening and a season", _opened_and_asked)):
        well.append(row(name, *_opening((small, large), opened, times)))
    with open_book(small, create=False) as one, open_book(large, create=False) as many:
        books = one, many
        for book in books:
            book.season(LAST)
        for name, asked in QUESTIONS.items():
            for book in books:
                asked(book.view(LAST))
            well.append(row(name, *in_turn(books, lambda book, asked=asked: asked(book.view(LAST)), times)))
            well.append(row(f"{name}, afresh", *_afresh(books, asked, times)))
        well.append(row("a logged line", *in_turn(books, log_a_line, 10 * times)))
        well.append(row("names after a line", *in_turn(books, lambda book: (log_a_line(book), book.names()), times)))
    return well


def _opening(paths: tuple[Path, Path], opened: Callable[[Path], None], times: int) -> tuple[float, float]:
    found: tuple[list[float], list[float]] = ([], [])
    for path in paths:
        opened(path)
    for _ in range(times):
        for path, one in zip(paths, found, strict=True):
            one.append(took(lambda path=path: opened(path)))
    return median(found[0]), median(found[1])


def _opened(path: Path) -> None:
    open_book(path, create=False).close()


def _opened_and_asked(path: Path) -> None:
    with open_book(path, create=False) as book:
        book.season(LAST)


def _afresh(books: tuple[Book, Book], asked: Asked, times: int) -> tuple[float, float]:
    """The question alone, after a line that is not counted."""
    found: tuple[list[float], list[float]] = ([], [])
    for _ in range(times):
        for book, one in zip(books, found, strict=True):
            log_a_line(book)
            one.append(took(lambda book=book: asked(book.view(LAST))))
    return median(found[0]), median(found[1])


MEMORY_OF = """
import resource, sys
sys.path.insert(0, {here!r})
from bench_seasons import LAST, QUESTIONS, log_a_line, open_book
with open_book({path!r}, create=False) as book:
    for asked in QUESTIONS.values():
        asked(book.view(LAST))
        log_a_line(book)
print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024)
"""


def memory(path: Path) -> float:
    """Megabytes at most of a process of its own that asks every question once."""
    script = MEMORY_OF.format(here=str(Path(__file__).parent), path=str(path))
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    return float(done.stdout)


@contextmanager
def books(keep: Path | None, seasons: int, entries: int) -> Iterator[tuple[Path, Path]]:
    """A book of one season and one of many; those of an earlier run where a folder to keep them in is named."""
    with tempfile.TemporaryDirectory() as folder:
        place = keep or Path(folder)
        place.mkdir(exist_ok=True)
        found = place / "one.book", place / "many.book"
        for path, first in zip(found, (LAST.year, LAST.year - seasons + 1), strict=True):
            if not path.exists():
                count = fill(path, chain(farm(dt.date(first, 1, 1)), years(first, LAST.year, entries)))
                print(f"{path.name}: {count} entries, {path.stat().st_size / 1e6:.0f} MB")
        yield found


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--seasons", type=int, default=20)
    options.add_argument("--entries", type=int, default=25600, help="entries a season")
    options.add_argument("--times", type=int, default=15)
    options.add_argument("--keep", type=Path, help="a folder in which the books stay for the next run")
    chosen = options.parse_args()
    with books(chosen.keep, chosen.seasons, chosen.entries) as (small, large):
        print(f"{platform.platform()}, {os.cpu_count()} cores, Python {platform.python_version()}")
        print(f"{'':28}{'one season':>12}{'many':>12}{'ratio':>8}")
        well = ask_all(small, large, chosen.times)
        for path in (small, large):
            line, bare = against_bare(path)
            well.append(line <= 4 * bare)
            print(f"{path.name}: a line {line:.2f} ms, a bare insert and commit {bare:.2f} ms: {line / bare:.1f} times")
        one, many = memory(small), memory(large)
        well.append(many < MEMORY)
        print(f"peak memory: {one:.0f} MB and {many:.0f} MB")
        print(f"largest process of this run: {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB")
        print("all within their targets" if all(well) else f"{well.count(False)} over their targets")


if __name__ == "__main__":
    main()
