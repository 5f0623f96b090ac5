"""A new grower with an empty book is led through a few questions, and may leave at any of them."""

from __future__ import annotations


def test_the_guide_names_plots_customers_and_cooler_and_the_book_has_them(program) -> None:
    chat = program.open("--today", "2027-03-28")
    chat.wait_for("This book is empty.")
    chat.enter("Brook, 12 beds, 50 ft by 30 in")
    chat.wait_for("Another plot?")
    chat.enter("Gate, 6 beds, 100 ft by 30 in")
    chat.wait_for("Added plot Gate")
    chat.enter("")
    chat.wait_for("Who buys from you?")
    chat.enter("Harbour Oven, The Tin Fiddle")
    chat.wait_for("Is there a walk-in cooler?")
    chat.enter("yes")
    chat.wait_for("That is enough to begin.")
    assert chat.leave() == 0
    assert "5 records written: 2 plot added, 2 customer added, 1 setting." in chat.shown()

    again = program.run("--today", "2027-03-28", "what's free")
    assert again.returncode == 0
    assert "Brook" in again.stdout
    assert "Gate" in again.stdout


def test_leaving_the_guide_writes_nothing_and_opens_the_chat(program) -> None:
    chat = program.open("--today", "2027-03-28")
    chat.wait_for("This book is empty.")
    chat.enter("later")
    chat.wait_for("Left there")

    assert chat.leave() == 0
    assert "Nothing was written to the book." in chat.shown()


def test_a_phrase_in_the_middle_of_the_guide_is_heard_as_said(program) -> None:
    chat = program.open("--today", "2027-03-28")
    chat.wait_for("This book is empty.")
    chat.enter("add customer Juniper Table")
    chat.wait_for("Left there")
    chat.leave()

    assert "1 record written: 1 customer added." in chat.shown()


def test_a_farm_with_plots_is_not_asked_again(farm) -> None:
    chat = farm.open("--today", "2027-06-14")
    chat.wait_for("ctrl-d leaves")

    assert "This book is empty." not in chat.shown()
    assert chat.leave() == 0
