"""A plan of the whole farm in a real terminal: how far it is, and stopping it."""

from __future__ import annotations

import pytest

CTRL_C = "\x03"
WANTED = (
    "harbour oven wants 15 lb salad mix every friday",
    "harbour oven wants 20 bunches radish every friday",
    "harbour oven wants 10 lb arugula every friday",
    "harbour oven wants 12 lb spinach every tuesday",
    "harbour oven wants 30 heads lettuce every friday",
    "harbour oven wants 30 lb carrots every friday",
    "salad mix is 8 a lb", "radish is 3 a bunch", "arugula is 9 a lb", "spinach is 9 a lb", "lettuce is 3 a head",
    "carrots are 2 a lb",
)  # fmt: skip


@pytest.fixture
def busy(farm):
    """A farm with more wanted of it than is planned in a moment."""
    done = farm.run("add plot Gate with 10 beds 100 ft by 30 in", *WANTED, "--today", "2027-06-14")
    assert done.returncode == 0, done.stdout
    return farm


def test_a_plan_shows_how_far_it_is_and_leaves_no_trace_of_that(busy) -> None:
    chat = busy.open("--today", "2027-06-14", "--plan-seconds", "3")
    chat.enter("plan the season")
    chat.wait_for("Planning, 1 of 3 s")
    chat.wait_for("nothing of it is done yet")

    assert chat.leave() == 0
    assert "Planning," not in chat.shown()


def test_ctrl_c_takes_the_plan_as_it_is_and_the_talk_goes_on(busy) -> None:
    chat = busy.open("--today", "2027-06-14", "--plan-seconds", "300")
    chat.enter("plan the season")
    chat.wait_for("Planning, 2 of 300 s")
    chat.type(CTRL_C)
    chat.wait_for("Stopped where it was")
    chat.enter("put the first one down")
    chat.wait_for("Planned")

    assert chat.leave() == 0
    assert "planned." in chat.shown().split("written: ")[1]


def test_a_script_gets_the_plan_without_any_of_that(busy) -> None:
    done = busy.run("plan the next three weeks", "--today", "2027-06-14", "--plan-seconds", "1")

    assert done.returncode == 0
    assert "nothing of it is done yet" in done.stdout
    assert done.stderr == ""
