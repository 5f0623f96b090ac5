"""What is shown of work that takes seconds, and where nothing is."""

from __future__ import annotations

import io
import os

from assistant.progress import reckoned_on


def test_a_book_worked_out_anew_shows_how_far_it_is_on_one_line_and_leaves_it_empty() -> None:
    ours, its = os.openpty()
    with os.fdopen(its, "w") as terminal:
        heed = reckoned_on(terminal, 80)
        assert heed is not None
        for done in (40, 100):
            heed(done, 100)
        shown = os.read(ours, 1000).decode()
    os.close(ours)

    _, half, end, _ = shown.split("\r")
    assert half.strip() == "Working out all seasons of the book anew, once: 40 %"
    assert end == " " * 79


def test_where_there_is_no_terminal_nothing_is_shown_of_it() -> None:
    assert reckoned_on(io.StringIO(), 80) is None
