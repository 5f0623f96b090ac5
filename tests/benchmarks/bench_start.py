"""How long a start takes and how fast notes are read in.

    python tests/benchmarks/bench_start.py [--times 9] [--lines 1500]

A start is `rowcall "what's free"` on a book of one season, as a process of its own, held against a process that only
imports lark and sqlalchemy.orm; the target is 1.3 times that. Notes are those of the demo season, up to so many lines,
through the same path as `rowcall --read`; the target is 300 lines a second. Not a test: figures depend on the machine.
"""

from __future__ import annotations

import argparse
import datetime as dt
import os
import platform
import statistics
import subprocess
import sys
import tempfile
import time
from itertools import chain, islice
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

from bench_book import LAST, farm, fill, years

from assistant.__main__ import tidy_up
from assistant.conversation import Conversation
from assistant.demo import notes_folder
from assistant.notes import note_files
from assistant.reading import Count, Reading
from engine.book import open_book
from grammar.reader import read

STARTS, A_SECOND = 1.3, 300
BARE = ("-c", "import lark, sqlalchemy.orm")


def process(environment: dict[str, str], *arguments: str) -> float:
    """Seconds of a Python process from its start to its end."""
    start = time.perf_counter()
    subprocess.run(
        [sys.executable, *arguments], check=True, env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )
    return time.perf_counter() - start


def installed(folder: Path) -> dict[str, str]:
    """An environment in which each module is compiled once, as pip does it on installing, and not at every start."""
    kept = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    return {**kept, "PYTHONPYCACHEPREFIX": str(folder / "compiled")}


def starts(book: Path, times: int) -> bool:
    """Print starts against bare imports, turn by turn; whether the target is met."""
    environment = installed(book.parent)
    forms = {
        "only the imports": BARE,
        "rowcall --help": ("-m", "assistant", "--help"),
        "rowcall \"what's free\"": (
            "-m", "assistant", "--book", str(book), "--copies", "0", "--today", str(LAST), "what's free",
        ),
    }  # fmt: skip
    for arguments in forms.values():
        process(environment, *arguments)
    found: dict[str, list[float]] = {name: [] for name in forms}
    for _ in range(times):
        for name, arguments in forms.items():
            found[name].append(process(environment, *arguments))
    bare = statistics.median(found["only the imports"])
    for name, took in found.items():
        print(f"{name:28}{statistics.median(took) * 1000:9.0f} ms{statistics.median(took) / bare:8.2f}")
    return statistics.median(found['rowcall "what\'s free"']) <= STARTS * bare


def reading(folder: Path, most: int) -> bool:
    """Print lines a second of notes read into a new book, and how much of it is the grammar; whether it is enough."""
    today = dt.date(2027, 7, 14)
    tidy_up()
    count, spent = Count(), 0.0
    with open_book(folder / "notes.book") as book:
        notes = Reading(book, lambda day: Conversation(book, today=day), today)
        lines = chain.from_iterable(notes.read(file) for file in note_files(notes_folder()))
        start = time.perf_counter()
        said = []
        for line, turn in islice(lines, most):
            count.add(turn)
            said.append(line.text)
        took = time.perf_counter() - start
        words = book.names().words
        for text in said[-300:]:
            begin = time.perf_counter()
            next(iter(read(text, words).ways))
            spent += time.perf_counter() - begin
    a_line, grammar = took / count.lines * 1000, spent / min(300, len(said)) * 1000
    print(
        f"{count.text()} {count.lines / took:.0f} lines a second; {a_line:.1f} ms a line, the grammar {grammar:.1f} ms"
    )
    return count.lines / took >= A_SECOND


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--times", type=int, default=9)
    options.add_argument("--lines", type=int, default=1500)
    chosen = options.parse_args()
    print(f"{platform.platform()}, {os.cpu_count()} cores, Python {platform.python_version()}")
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        book = folder / "one.book"
        fill(book, chain(farm(dt.date(LAST.year, 1, 1)), years(LAST.year, LAST.year, 25600)))
        well = [starts(book, chosen.times), reading(folder, chosen.lines)]
    print("all within their targets" if all(well) else f"{well.count(False)} over their targets")


if __name__ == "__main__":
    main()
