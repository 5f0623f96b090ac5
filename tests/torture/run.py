"""Torture books and count what is lost, which must be nothing.

    python tests/torture/run.py [--rounds 1000] [--only killed ...] [--postgres] [--seed 7] [--lines 150]

`killed` and `two` take the rounds as given, `full` and `read-only` a twentieth of them, since each reads a whole file
of notes. With --postgres the books of `killed` and `two` are on a PostgreSQL that is started for it. Exits with 1 if
anything was wrong.
"""

from __future__ import annotations

import argparse
import gc
import os
import random
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

HERE = Path(__file__).parent
sys.path[:0] = [str(HERE), str(HERE.parent / "postgres")]

from told import Told, told  # noqa: E402
from ways import (  # noqa: E402
    Count,
    NewBook,
    disk_filled,
    in_file,
    killed,
    made_read_only,
    two_at_once,
    two_killed,
)

WAYS = ("killed", "two", "full", "read-only")


def ways(options: argparse.Namespace, folder: Path, new_book: NewBook) -> Iterator[tuple[str, Callable[[], Count]]]:
    """The ways that were asked for, each ready to be gone."""
    chance = random.Random(options.seed)
    short = max(2, options.rounds // 20)
    farm = told(folder, "ines", options.lines, 1)
    others = tuple(told(folder, name, options.lines, seed, set_up=False) for name, seed in (("bea", 2), ("tomas", 3)))
    yield "killed", lambda: killed(options.rounds, farm, chance, new_book)
    yield "two", lambda: _two(options.rounds, farm, others, chance, new_book)
    if new_book is in_file:
        yield "full", lambda: disk_filled(short, farm, chance)
        yield "read-only", lambda: made_read_only(short, farm, chance)


def _two(rounds: int, farm: Told, others: tuple[Told, ...], chance: random.Random, new_book: NewBook) -> Count:
    count = two_killed(rounds, farm, others[0], chance, new_book)
    at_once = two_at_once(others, farm, new_book)
    count.kept += at_once.kept
    count.wrong += at_once.wrong
    return count


@contextmanager
def places(postgres: bool) -> Iterator[NewBook]:
    """Where new books are made."""
    if not postgres:
        yield in_file
        return
    from server import running

    with running() as server:
        yield lambda folder: server.new_book()


def main() -> int:
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--rounds", type=int, default=1000)
    options.add_argument("--only", nargs="+", choices=WAYS, default=WAYS)
    options.add_argument("--postgres", action="store_true")
    options.add_argument("--seed", type=int, default=7)
    options.add_argument("--lines", type=int, default=150, help="lines in a file of notes")
    chosen = options.parse_args()
    wrong = 0
    gc.freeze()  # what was loaded so far is shared with the forks and not copied when their garbage is looked for
    with tempfile.TemporaryDirectory(prefix="rowcall-torture-") as home, places(chosen.postgres) as new_book:
        for name in ("DATA", "STATE", "CACHE"):
            os.environ[f"XDG_{name}_HOME"] = f"{home}/{name.lower()}"
        for name, way in ways(chosen, Path(home), new_book):
            if name in chosen.only:
                start = time.monotonic()
                count = way()
                print(f"{count.text(name)}; {time.monotonic() - start:.0f} s", flush=True)
                print("".join(f"  {one}\n" for one in count.wrong[:20]), end="", flush=True)
                wrong += len(count.wrong)
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
