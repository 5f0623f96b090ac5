"""A book on a server under load, with its people killed, and with the server itself gone for a while."""

from __future__ import annotations

import datetime as dt
import re
import signal
import subprocess
import sys
from pathlib import Path

import psycopg
import pytest
from server import Server, running

from assistant.conversation import Conversation
from assistant.hearing import heard
from engine.book import open_book
from engine.errors import BookError, NoAccess, NotABook

HERE = Path(__file__).parent
TODAY = dt.date(2027, 6, 14)
FARM = "add plot Brook with 12 beds 50 ft by 30 in"


def ran(*command: str) -> str:
    """What a runner printed; fails if it found anything wrong."""
    done = subprocess.run([sys.executable, *command], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def test_twenty_who_write_and_twenty_who_ask_lose_nothing() -> None:
    """The short form of `load.py`."""
    printed = ran(str(HERE / "load.py"), "--seconds", "5")

    assert int(re.search(r"^(\d+) lines written, 0 wrong$", printed, re.MULTILINE)[1]) >= 20  # type: ignore[index]


def test_people_killed_at_a_server_lose_nothing_that_was_shown() -> None:
    """The short form of the torture of books on a server."""
    printed = ran(str(HERE.parent / "torture" / "run.py"), "--postgres", "--rounds", "4", "--lines", "10")

    assert re.findall(r"^(\w+): 4 rounds .*; 0 wrong", printed, re.MULTILINE) == ["killed", "two"]


@pytest.mark.parametrize("how", [signal.SIGINT, signal.SIGQUIT], ids=["shut down", "crashed"])
def test_a_talk_outlives_its_server(how: int) -> None:
    with running() as server:
        address = server.new_book()
        with open_book(address) as book:
            talk = Conversation(book, today=TODAY, by="Ines")
            heard(talk, FARM)
            heard(talk, "watered brook 4")

            server.stop(how)
            with pytest.raises(BookError) as told:
                heard(talk, "watered brook 5")
            server.start()
            after = heard(talk, "watered brook 6")

            assert (type(told.value), after.understood) == (NoAccess, True)
            assert server.password not in str(told.value)
            assert [line.said for line in book.latest_lines()] == ["watered brook 6", "watered brook 4", FARM]
            assert book.verify() == ()


def test_a_wrong_password_and_another_database_are_told_in_a_sentence(server: Server) -> None:
    address = server.new_book()
    wrong = address.replace(server.password, "open-sesame")

    with pytest.raises(NoAccess) as told:
        open_book(wrong)
    with pytest.raises(NoAccess):
        open_book(address.rsplit("/", 1)[0] + "/nowhere")
    with psycopg.connect(address.replace("+psycopg", "")) as other:
        other.execute("create table bookmarks (url text)")
    with pytest.raises(NotABook):
        open_book(address)

    assert "open-sesame" not in str(told.value)
