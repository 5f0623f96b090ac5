"""Whole evenings, word for word: a reply that changes is seen here and read before it is kept (dialogues/say.py)."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent / "dialogues"))

from say import TRANSCRIPTS, WIDTH, said_again


@pytest.mark.parametrize("file", TRANSCRIPTS, ids=lambda file: str(file.stem))
def test_an_evening_goes_as_written(file: Path, larkspur: Path, tmp_path: Path) -> None:
    transcript = file.read_text()

    assert said_again(transcript, larkspur, tmp_path) == transcript


@pytest.mark.parametrize("file", TRANSCRIPTS, ids=lambda file: str(file.stem))
def test_no_reply_is_wider_than_the_terminal(file: Path) -> None:
    replies = [line for line in file.read_text().split("\n") if not line.startswith((">", "#"))]

    assert max(map(len, replies)) <= WIDTH
