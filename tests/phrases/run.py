"""Say the phrases of a file to copies of its farm, and show in a table how many were understood.

    python tests/phrases/run.py [--file FILE ...] [--failures] [--shared] [--fresh] [--dictated]

Without --file: all six. --shared says the open phrases in ../shared, --dictated says
each line as a machine that takes dictation would write it (`dictated.py`). Exits with 1 if any phrase
wrote something wrong without a word or ended in an exception, with 2 if the farm itself could not be set up.
"""

from __future__ import annotations

import argparse
import datetime as dt
import json
import random
import re
import sqlite3
import statistics
import sys
import tempfile
import time
import traceback
from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import closing
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from dictated import dictated
from judge import CRASH, RIGHT, VERDICTS, WRONG, verdict

from assistant.answers import Patience
from assistant.conversation import Conversation
from assistant.turn import Turn
from engine import open_book

HERE = Path(__file__).parent
OURS = tuple(HERE / f"{name}.jsonl" for name in ("terse", "spoken", "written", "planning", "papers", "asked", "talks"))
SHARED = HERE.parents[2] / "shared" / "phrases" / "open.jsonl"  # beside the clone, where it is there
FRESH = tuple(sorted((HERE / "fresh").glob("*.jsonl")))  # said to the farm of the open phrases
PLAN_SECONDS = 0.2  # enough for a plan that can be carried out, which is all that is looked at here
STYLES = {
    "a": "terse", "b": "spoken", "c": "written", "t": "terse", "s": "spoken", "w": "written",
    "p": "papers", "q": "asked",
}  # fmt: skip


class FarmNotTakenError(Exception):
    """Lines of the farm itself were not understood, so that no phrase can be judged."""


@dataclass(frozen=True, slots=True)
class Case:
    """What is said, line by line, on which day, and what is expected of it."""

    id: str
    tags: tuple[str, ...]
    today: dt.date
    say: tuple[str, ...]
    expect: Any


@dataclass(slots=True)
class Heard:
    """What came of a case: its turns as far as they got, the trace if one broke, and the milliseconds of each."""

    case: Case
    turns: list[Turn] = field(default_factory=list)
    trace: str | None = None
    milliseconds: list[float] = field(default_factory=list)

    @property
    def verdict(self) -> str:
        return CRASH if self.trace else verdict(self.case.expect, self.turns)


def farm_day(farm: Path) -> dt.date:
    """The day that it is at the farm: the first date in the opening remark of its file."""
    found = re.search(r"\d{4}-\d\d-\d\d", farm.read_text().splitlines()[0])
    if not found:
        raise ValueError(f"{farm} does not say what day it is")
    return dt.date.fromisoformat(found.group())


def cases(file: Path, today: dt.date) -> Iterator[Case]:
    for line in filter(str.strip, file.read_text().splitlines()):
        case = json.loads(line)
        day = dt.date.fromisoformat(case["today"]) if "today" in case else today
        yield Case(case["id"], tuple(case["tags"]), day, tuple(case["say"]), case["expect"])


def set_up(farm: Path, book_file: Path) -> list[Turn]:
    """Say the farm's lines to a new book; what comes back are the turns that wrote nothing or left something open."""
    with open_book(book_file) as book:
        talk = Conversation(book, today=farm_day(farm))
        lines = (line for line in farm.read_text().splitlines() if line.strip() and not line.startswith("#"))
        return [turn for turn in map(talk.hear, lines) if not (turn.records and turn.understood)]


def copy_book(source: Path, target: Path) -> None:
    """A copy that holds everything committed, also what still lies beside the file in a log."""
    target.unlink(missing_ok=True)
    with closing(sqlite3.connect(source)) as old, closing(sqlite3.connect(target)) as new:
        old.backup(new)


def hear(case: Case, book_file: Path) -> Heard:
    heard = Heard(case)
    with open_book(book_file) as book:
        talk = Conversation(book, today=case.today, folder=book_file.parent, patience=Patience(PLAN_SECONDS))
        for line in case.say:
            start = time.perf_counter()
            try:
                heard.turns.append(talk.hear(line))
            except Exception:  # noqa: BLE001 - an exception is one of the outcomes that are counted here
                heard.trace = traceback.format_exc()
                break
            heard.milliseconds.append((time.perf_counter() - start) * 1000)
    return heard


def by_dictation(case: Case) -> Case:
    lot = random.Random(case.id)
    return replace(case, say=tuple(dictated(line, lot) for line in case.say))


def hear_file(file: Path, desk: Path, said: Callable[[Case], Case] = lambda case: case) -> list[Heard]:
    """Every case of a file, as `said`, each to a fresh copy of the farm beside it; raises FarmNotTakenError."""
    farm = (SHARED if file in FRESH else file).parent / "farm.txt"
    master, book_file = desk / f"{file.stem}.db", desk / "case.db"
    if not_taken := set_up(farm, master):
        raise FarmNotTakenError("\n".join(f"{farm}: {turn.input}\n    {shown(turn)}" for turn in not_taken))
    heard = []
    for case in cases(file, farm_day(farm)):
        copy_book(master, book_file)
        heard.append(hear(said(case), book_file))
    return heard


def table(heard: Sequence[Heard]) -> str:
    """A row for each style and each tag: how many were right, and what became of the others."""
    rows: dict[str, Counter[str]] = defaultdict(Counter)
    for one in heard:
        for name in ("all", STYLES.get(one.case.id[0], "other").upper(), *one.case.tags):
            rows[name][one.verdict] += 1
    head = f"{'':14}{'phrases':>8}{'right %':>9}" + "".join(f"{name:>13}" for name in VERDICTS)
    return "\n".join([head, *(_row(name, rows[name]) for name in sorted(rows, key=lambda name: (name != "all", name)))])


def _row(name: str, counts: Counter[str]) -> str:
    total = counts.total()
    return f"{name:14}{total:8}{100 * counts[RIGHT] / total:9.1f}" + "".join(f"{counts[v] or '':>13}" for v in VERDICTS)


def failure(heard: Heard) -> str:
    """What was said, what was expected, and what came instead."""
    case = heard.case
    lines = [f"{heard.verdict}: {case.id} {' / '.join(case.say)}", f"    wanted {json.dumps(case.expect)}"]
    lines += [f"    got    {shown(turn)}" for turn in heard.turns]
    return "\n".join([*lines, *(heard.trace or "").splitlines()])


def shown(turn: Turn) -> str:
    """Records, answers (without their results), question and unread words of a turn, as far as there are any."""
    answers = [{name: value for name, value in answer.items() if name != "result"} for answer in turn.answers]
    question = turn.question and {"about": turn.question.about, "choices": turn.question.choices}
    parts = {"records": turn.records, "answers": answers, "question": question, "unread": turn.unread}
    return json.dumps({name: part for name, part in parts.items() if part}, default=str)


def timing(heard: Iterable[Heard]) -> str:
    times = sorted(ms for one in heard for ms in one.milliseconds)
    late = times[int(len(times) * 0.95)]
    return f"milliseconds a line: median {statistics.median(times):.1f}, 95th percentile {late:.1f}"


def main() -> int:
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--file", type=Path, action="append", help="phrases to say, with a farm.txt beside them")
    options.add_argument("--failures", action="store_true", help="show each phrase that was not right")
    options.add_argument("--shared", action="store_true", help=f"say {SHARED}")
    options.add_argument("--fresh", action="store_true", help="say what strangers to the grammar wrote, at that farm")
    options.add_argument("--dictated", action="store_true", help="as a machine that takes dictation would write them")
    chosen = options.parse_args()
    said = (by_dictation,) if chosen.dictated else ()
    files = [*(chosen.file or ()), *([SHARED] if chosen.shared else ()), *(FRESH if chosen.fresh else ())] or OURS
    try:
        with tempfile.TemporaryDirectory() as desk:
            heard = [one for file in files for one in hear_file(file, Path(desk), *said)]
    except FarmNotTakenError as farm:
        print(farm, file=sys.stderr)
        return 2
    if chosen.failures:
        print(*(failure(one) for one in heard if one.verdict != RIGHT), sep="\n", end="\n\n")
    print(table(heard), timing(heard), sep="\n")
    return int(any(one.verdict in (WRONG, CRASH) for one in heard))


if __name__ == "__main__":
    sys.exit(main())
