"""What takes seconds, shown on one line of a terminal: a plan in the making, which ctrl-c takes as it is, and a book
whose seasons are worked out anew."""

from __future__ import annotations

import signal
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any, TextIO

if TYPE_CHECKING:
    from engine.planner.search import Heed, Progress

STEP = 0.2  # seconds between two looks at the line


class Line:
    """The line, written over itself; what it is called with is how far the planning is, and False stops that."""

    def __init__(self, stream: TextIO | None, seconds: float, width: int) -> None:
        self.stream, self.seconds, self.width = stream, seconds, width
        self.stopped = False
        self.shown = -STEP

    def __call__(self, progress: Progress) -> bool:
        if progress.seconds - self.shown >= STEP:
            self.shown = progress.seconds
            self._write(self._text(progress))
        return not self.stopped

    def _text(self, progress: Progress) -> str:
        text = f"Planning, {progress.seconds:.0f} of {self.seconds:g} s"
        if 0 < progress.bound < float("inf"):
            text += f", at most {max(0.0, 100 * (1 - progress.worth / progress.bound)):.1f} % from the best"
        return f"{text}; ctrl-c takes the plan as it is."

    def _write(self, text: str, then: str = "") -> None:
        if self.stream is not None:
            self.stream.write(f"\r{text[: self.width - 1].ljust(self.width - 1)}{then}")
            self.stream.flush()

    def stop(self, *_: Any) -> None:
        """Answers ctrl-c."""
        self.stopped = True

    def wipe(self) -> None:
        """Leaves the line empty, if anything was written on it."""
        if self.shown >= 0:
            self._write("", "\r")


def reckoned_on(stream: TextIO, width: int) -> Callable[[int, int], None] | None:
    """What shows on this stream, if it is a terminal, how far the seasons of a long book are worked out anew."""
    if not stream.isatty():
        return None

    def shown(done: int, many: int) -> None:
        text = f"Working out all seasons of the book anew, once: {100 * done // many} %" if done < many else ""
        stream.write(f"\r{text[: width - 1].ljust(width - 1)}{'' if text else chr(13)}")
        stream.flush()

    return shown


def shown_on(stream: TextIO | None, width: Callable[[], int]) -> Callable[[float], Any]:
    """What shows a planning of so many seconds on this stream, if there is one, as a context that gives whom to tell of
    the progress. Ctrl-c stops the planning there and nothing else."""

    @contextmanager
    def shown(seconds: float) -> Iterator[Heed]:
        line = Line(stream, seconds, width())
        if threading.current_thread() is not threading.main_thread():
            yield line
            return
        before = signal.signal(signal.SIGINT, line.stop)
        try:
            yield line
        finally:
            signal.signal(signal.SIGINT, before)
            line.wipe()

    return shown
