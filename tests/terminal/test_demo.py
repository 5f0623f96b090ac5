"""The demo: read once with a bar, kept for the next start, open on a day in summer; it leaves a person's book alone."""

from __future__ import annotations

from pathlib import Path

import pytest


@pytest.fixture(scope="module")
def cache(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo's book is read in once for this file, as it is on a person's machine."""
    return tmp_path_factory.mktemp("cache")


@pytest.fixture
def demo(program, cache):
    return type(program)(program.home, {"XDG_CACHE_HOME": str(cache)})


def test_phrases_are_answered_on_the_demo_s_day(demo) -> None:
    done = demo.run("--demo", "what's free", "weekly recap")

    assert done.returncode == 0, done.stdout + done.stderr
    assert "Wed 14 Jul" in done.stdout


def test_the_notes_leave_nothing_unclear_and_are_read_once(demo, cache) -> None:
    demo.run("--demo", "what's free")
    again = demo.run("--demo", "what's free")

    assert again.stderr == ""
    assert len(list((cache / "rowcall").glob("demo-*"))) == 1


def test_without_a_terminal_a_sample_talk_is_played(demo) -> None:
    done = demo.run("--demo")

    assert done.returncode == 0, done.stdout
    assert done.stdout.count("\n> ") >= 5
    assert "Traceback" not in done.stdout + done.stderr


def test_piped_phrases_are_heard_instead_of_the_sample(demo) -> None:
    assert demo.run("--demo", "--json", said="what's free\n").stdout.count("\n") == 1


def test_the_sample_talk_is_not_kept(demo) -> None:
    assert demo.run("--demo").stdout == demo.run("--demo").stdout


def test_a_person_s_own_book_is_not_made_by_the_demo(demo) -> None:
    demo.run("--demo", "what's free")

    assert not (demo.home / "data").exists()


def test_a_first_start_in_a_terminal_shows_how_far_it_is_and_opens_the_chat(program) -> None:
    terminal = program.open("--demo", columns=45)
    terminal.wait_for("Reading the demo season  [")
    terminal.wait_for("ctrl-d leaves")
    assert terminal.shown().count("Reading the demo season") <= 1
    assert "not clear" not in terminal.shown()
    terminal.wait_for("Wed 14 Jul 2027")

    assert terminal.leave() == 0
