"""Hands at the book that can be killed: real processes that run the real command, forked so that none waits to load.

A process that had to import everything first would spend most of its life doing so, and a kill at a random moment would
seldom meet the book. The fork has everything imported and nothing opened.
"""

from __future__ import annotations

import importlib
import json
import os
import resource
import signal
import sys
import time
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import assistant.__main__ as command

TODAY = "2027-06-14"

for module in ("assistant.conversation", "assistant.mishaps", "assistant.reading", "engine.keeping"):
    importlib.import_module(module)  # what the command would load on its way, so that the forks have it already


@dataclass
class Hand:
    """A process that reads notes into a book and prints a JSON line for each line read, into a file."""

    book: str
    notes: Path
    folder: Path
    largest_file: int | None = None  # bytes; stands in for a full disk where no disk can be mounted
    pid: int = field(init=False)
    code: int | None = field(init=False, default=None)  # the exit code, or minus the signal

    def __post_init__(self) -> None:
        self._said = self.folder / f"said-{time.monotonic_ns()}"
        self._complaints = self._said.with_suffix(".err")
        self.pid = os.fork()
        if self.pid == 0:
            self._work()

    def _work(self) -> None:
        """In the fork: never returns."""
        code = 70
        try:
            for stream, file in ((1, self._said), (2, self._complaints)):
                os.dup2(os.open(file, os.O_CREAT | os.O_WRONLY | os.O_APPEND, 0o600), stream)
            if self.largest_file is not None:
                signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
                resource.setrlimit(resource.RLIMIT_FSIZE, (self.largest_file, resource.RLIM_INFINITY))
            code = command.main(["--book", self.book, "--read", str(self.notes), "--json", "--today", TODAY])
            sys.stdout.flush()
            sys.stderr.flush()
        finally:
            os._exit(code)

    def kill(self) -> None:
        """kill -9, wherever it is."""
        if self.code is None:
            os.kill(self.pid, signal.SIGKILL)
            self.wait()

    def wait(self) -> int:
        """Until it has ended; its exit code, or minus the signal that ended it."""
        if self.code is None:
            _, status = os.waitpid(self.pid, 0)
            self.code = os.waitstatus_to_exitcode(status)
        return self.code

    @property
    def is_done(self) -> bool:
        """Whether it has ended by itself."""
        if self.code is None:
            pid, status = os.waitpid(self.pid, os.WNOHANG)
            self.code = os.waitstatus_to_exitcode(status) if pid else None
        return self.code is not None

    @property
    def shown(self) -> list[dict[str, Any]]:
        """The turns whose whole line was printed, so that a person has seen the reply."""
        text = self._said.read_text() if self._said.exists() else ""
        return [json.loads(line) for line in text.splitlines(keepends=True) if line.endswith("\n")]

    @property
    def complaints(self) -> str:
        """What it said of what went wrong."""
        return self._complaints.read_text() if self._complaints.exists() else ""
