"""The real program, as a person or a script meets it: a process of its own, its own folders, a real terminal."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from shutil import copytree

import pexpect
import pyte
import pytest

CTRL_D = "\x04"
PATIENCE = 60  # seconds until a screen that does not come is a failure: many times what a busy machine needs


@dataclass
class Terminal:
    """A terminal of so many columns and rows, with the program in it."""

    child: pexpect.spawn[str]
    screen: pyte.HistoryScreen
    raw: str = ""
    entered: int = 0  # lines
    stream: pyte.Stream = field(init=False)

    def __post_init__(self) -> None:
        self.stream = pyte.Stream(self.screen)
        self.screen.write_process_input = self.child.send  # a terminal that is asked where its cursor is says so

    def type(self, text: str) -> None:
        self.child.send(text)

    def enter(self, text: str) -> None:
        self.entered += 1
        self.type(f"{text}\r")

    def paste(self, text: str) -> None:
        """As a terminal hands over a paste: between two marks, whole."""
        self.type(f"\x1b[200~{text}\x1b[201~")

    def shown(self) -> str:
        """All that has been on the screen, also what has scrolled off at the top."""
        past = ["".join(row[column].data for column in range(self.screen.columns)) for row in self.screen.history.top]
        return "\n".join(line.rstrip() for line in (*past, *self.screen.display))

    def wait_for(self, text: str) -> str:
        """Reads on until the text is on the screen, and gives the screen; fails with what it shows instead."""
        self._read_until(lambda: text in self.shown(), f"never showed {text!r}")
        return self.shown()

    def leave(self) -> int:
        """Presses ctrl-d at the next prompt, where it is seen, and gives the exit code."""
        self._read_until(self._prompted, "never prompted")
        self.type(CTRL_D)
        return self.wait_for_end()

    def _prompted(self) -> bool:
        """Whether all lines entered were taken and the next prompt is open: while one is, it takes pastes whole."""
        opened, taken = self.raw.count("\x1b[?2004h"), self.raw.count("\x1b[?2004l")
        return opened > taken >= self.entered

    def wait_for_end(self) -> int:
        """Reads on until the program ends, and gives its exit code."""
        self._read_until(lambda: False, "", to_the_end=True)
        self.child.close()
        assert self.child.exitstatus is not None, f"ended by signal {self.child.signalstatus}"
        return self.child.exitstatus

    def _read_until(self, seen: Callable[[], bool], complaint: str, to_the_end: bool = False) -> None:
        while not seen():
            try:
                text = self.child.read_nonblocking(4096, timeout=PATIENCE)
            except pexpect.EOF:
                assert to_the_end, f"ended and {complaint}:\n{self.shown()}"
                return
            except pexpect.TIMEOUT:
                pytest.fail(f"{complaint or 'never ended'}:\n{self.shown()}")
            self.raw += text
            self.stream.feed(text)


@dataclass(frozen=True)
class Program:
    """The command with folders of its own, so that no test meets the book, history or log of another or of a person."""

    home: Path
    extra: dict[str, str] = field(default_factory=dict)

    @property
    def environment(self) -> dict[str, str]:
        kept = {
            name: value for name, value in os.environ.items() if name not in ("ROWCALL_BOOK", "NO_COLOR", "COLUMNS")
        }
        folders = {f"XDG_{name}_HOME": str(self.home / name.lower()) for name in ("DATA", "STATE", "CACHE")}
        return kept | folders | {"TERM": "xterm-256color", "PYTHONIOENCODING": "utf-8"} | self.extra

    @property
    def log(self) -> Path:
        return self.home / "state" / "rowcall" / "rowcall.log"

    def run(self, *arguments: str, said: str | bytes = b"") -> subprocess.CompletedProcess[str]:
        """Runs without a terminal; `said` comes through the pipe."""
        done = subprocess.run(
            [sys.executable, "-m", "assistant", *arguments],
            input=said if isinstance(said, bytes) else said.encode(),
            capture_output=True,
            env=self.environment,
            cwd=self.home,
            timeout=10 * PATIENCE,
            check=False,
        )
        return subprocess.CompletedProcess(
            done.args, done.returncode, done.stdout.decode("utf-8"), done.stderr.decode("utf-8")
        )

    def open(self, *arguments: str, columns: int = 100, rows: int = 40) -> Terminal:
        """Runs in a terminal of its own."""
        child = pexpect.spawn(
            sys.executable,
            ["-m", "assistant", *arguments],
            env=self.environment,  # type: ignore[arg-type]
            cwd=str(self.home),
            dimensions=(rows, columns),
            encoding="utf-8",
            codec_errors="strict",
            echo=False,
        )
        return Terminal(child, pyte.HistoryScreen(columns, rows, history=2000))


@pytest.fixture(scope="session")
def first_start(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folders as the first start leaves them, with a small farm in the book; made once, to be copied only."""
    program = Program(tmp_path_factory.mktemp("first_start"))
    done = program.run(
        "add plot Brook with 12 beds 50 ft by 30 in", "add customer Harbour Oven", "--today", "2027-06-14"
    )

    assert done.returncode == 0, done.stdout + done.stderr
    return program.home


@pytest.fixture
def program(first_start: Path, tmp_path: Path) -> Program:
    """The program with no book yet, but with the grammar that its first start worked out."""
    copytree(first_start / "cache", tmp_path / "cache")
    return Program(tmp_path)


@pytest.fixture
def farm(first_start: Path, program: Program) -> Program:
    """The program with a small farm in its book."""
    copytree(first_start, program.home, dirs_exist_ok=True)
    return program


@pytest.fixture
def chat(farm: Program) -> Iterator[Terminal]:
    """The chat over that farm on Monday 14 June 2027, at its first prompt."""
    terminal = farm.open("--today", "2027-06-14")
    terminal.wait_for("ctrl-d leaves")
    yield terminal
    terminal.child.close(force=True)
