"""A busy farm at one book on PostgreSQL: so many people who log and so many who ask, each in a process of their own.

    python tests/postgres/load.py [--writers 20] [--askers 20] [--seconds 60]

Each has a talk of their own and says line after line. Printed: how many lines and questions there were, how long they
took, and what went wrong; exits with 1 if anything did. Every line whose reply came must be in the book, each once.
"""

from __future__ import annotations

import argparse
import datetime as dt
import gc
import itertools
import json
import os
import sys
import tempfile
import time
import traceback
from collections.abc import Iterator
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

from server import running

from assistant.conversation import Conversation
from assistant.hearing import heard
from engine.book import open_book

TODAY = dt.date(2027, 6, 14)
FARM = (
    "add plot Brook with 12 beds 50 ft by 30 in",
    "add customer Harbour Oven",
    "sowed radish in brook 1 to 12 on may 10",
    "harvested brook 4 radish 30 lb",
)
QUESTIONS = ("what's in the cooler", "what's free", "recap today", "orders this week", "what's ready to harvest")


def writes(name: str) -> Iterator[str]:
    """What a writer says: no two lines are alike."""
    for number in itertools.count(1):
        yield f"watered brook {number % 12 + 1} for {number % 50 + 10} minutes and weeded brook {(number + 5) % 12 + 1}"
        yield f"note: {name} saw row {number}"


def asks(name: str) -> Iterator[str]:
    yield from itertools.cycle(QUESTIONS)


def talk(address: str, name: str, until: float, result: Path) -> None:
    """One person until the time is over; what was said, how long each took and what went wrong goes into a file."""
    said, took, wrong = [], [], []
    try:
        with open_book(address, create=False) as book:
            conversation = Conversation(book, today=TODAY, by=name)
            lines = asks(name) if name.startswith("asker") else writes(name)
            while time.monotonic() < until:
                line, start = next(lines), time.perf_counter()
                turn = heard(conversation, line)
                took.append(time.perf_counter() - start)
                if turn.records:
                    said.append(line)
                if not turn.understood or "broke" in turn.reply:
                    wrong.append(f"{line}: {turn.reply}")
    except BaseException:  # noqa: BLE001  whatever it is, it is what is looked for here
        wrong.append(traceback.format_exc())
    result.write_text(json.dumps({"said": said, "took": took, "wrong": wrong}))


def people(address: str, names: list[str], seconds: float, folder: Path) -> dict[str, dict[str, list]]:
    """Fork a process for each, wait for all, and read what each has left."""
    gc.freeze()
    until = time.monotonic() + seconds
    pids = []
    for name in names:
        pid = os.fork()
        if pid == 0:
            try:
                talk(address, name, until, folder / name)
            finally:
                os._exit(0)
        pids.append(pid)
    for pid in pids:
        os.waitpid(pid, 0)
    nothing = {"said": [], "took": [], "wrong": ["ended without a word"]}
    return {name: json.loads((folder / name).read_text()) if (folder / name).exists() else nothing for name in names}


def lost(address: str, found: dict[str, dict[str, list]]) -> list[str]:
    """What is not as it was told: lines that are not there, there twice, out of order or by somebody else."""
    wrong = []
    with open_book(address, create=False) as book:
        wrong += [str(finding) for finding in book.verify()]
        there: dict[str | None, list[str]] = {}
        for line in book.latest_lines():
            there.setdefault(line.by, []).append(line.said)
        for name, one in found.items():
            kept = there.get(name, [])[::-1]
            if kept != one["said"]:
                wrong.append(f"{name}: {len(one['said'])} lines were told as written, {len(kept)} are in the book")
    return wrong


def row(name: str, took: list[float], seconds: float) -> str:
    took = sorted(took) or [0.0]
    median, late = took[len(took) // 2], took[int(len(took) * 0.95)]
    return (
        f"{name:8} {len(took):6} lines, {len(took) / seconds:6.1f} a second;"
        f" median {median * 1000:5.0f} ms, 95 of 100 under {late * 1000:5.0f} ms, slowest {took[-1] * 1000:5.0f} ms"
    )


def main() -> int:
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--writers", type=int, default=20)
    options.add_argument("--askers", type=int, default=20)
    options.add_argument("--seconds", type=float, default=60)
    chosen = options.parse_args()
    names = [f"{what} {number}" for what, many in (("writer", chosen.writers), ("asker", chosen.askers))
             for number in range(1, many + 1)]  # fmt: skip
    with tempfile.TemporaryDirectory() as folder, running() as server:
        address = server.new_book()
        with open_book(address) as book:
            conversation = Conversation(book, today=TODAY)
            for line in (*FARM, *QUESTIONS):  # the questions load what they need, so that the forks have it
                assert heard(conversation, line).understood, line
        found = people(address, names, chosen.seconds, Path(folder))
        wrong = [f"{name}: {one}" for name in names for one in found[name]["wrong"]] + lost(address, found)
    for what in ("writer", "asker"):
        print(row(f"{what}s", [took for name in names if name.startswith(what) for took in found[name]["took"]],
                  chosen.seconds))  # fmt: skip
    print(f"{sum(len(one['said']) for one in found.values())} lines written, {len(wrong)} wrong")
    print("".join(f"  {one}\n" for one in wrong[:20]), end="")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
