"""The short form of the torture: a few rounds of each way. The long form is `run.py` beside this file, by hand."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

RUN = Path(__file__).parent / "run.py"
FUZZ = Path(__file__).parent / "fuzz.py"


def counts(*arguments: str) -> dict[str, tuple[int, int]]:
    """Rounds and lines kept of each way; fails with what the run printed if anything was wrong."""
    done = subprocess.run([sys.executable, RUN, *arguments], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    found = re.findall(r"^([\w-]+): (\d+) rounds .* (\d+) kept .*; 0 wrong", done.stdout, re.MULTILINE)
    return {name: (int(rounds), int(kept)) for name, rounds, kept in found}


def test_no_line_that_was_shown_is_lost_and_none_is_half_there() -> None:
    """kill -9 at random moments, two hands at one book, a full disk and a file made read-only."""
    found = counts("--rounds", "5", "--lines", "12")

    assert {name: rounds for name, (rounds, _) in found.items()} == {"killed": 5, "two": 5, "full": 2, "read-only": 2}
    assert all(kept > 0 for _, kept in found.values())


def test_phrases_gone_wrong_bring_no_trace_no_hang_and_nothing_raw() -> None:
    """The short form of `fuzz.py`."""
    done = subprocess.run(
        [sys.executable, FUZZ, "--lines", "150", "--seed", "1", "--slowest", "5"],
        capture_output=True, text=True, check=False,
    )  # fmt: skip

    assert done.returncode == 0, done.stdout + done.stderr
    assert " 150 lines," in done.stdout
