"""What was stored is said back whole: every kind, every field, in plain words."""

import dataclasses
import datetime as dt
import re
from decimal import Decimal
from typing import Any

import pytest

from assistant.wording import text
from assistant.wording.records import cautions, corrected, record, records, undone
from engine.events import (
    KINDS,
    Amended,
    Cleared,
    CoolerReading,
    Event,
    Harvested,
    Noted,
    OrderCancelled,
    OrderChanged,
    Ordered,
    Planned,
    Prepared,
    Returned,
    Setting,
    Sighted,
    Sold,
    Sprayed,
    Watered,
    Weather,
    Weeded,
    Worked,
)

TODAY = dt.date(2027, 6, 16)
MONDAY = dt.date(2027, 6, 14)
FRIDAY = dt.date(2027, 6, 18)
TOLD = sorted(set(KINDS) - {"corrected", "undone"})

# For each field a value, another one, and how either is to be found in the line.
VALUES: dict[str, tuple[Any, str, Any, str]] = {
    "date": (MONDAY, "Mon 14 Jun", FRIDAY, "Fri 18 Jun"),
    "until": (dt.date(2028, 1, 3), "Mon 3 Jan 2028", dt.date(2027, 9, 3), "Fri 3 Sep"),
    "moved_to": (dt.date(2027, 6, 19), "Sat 19 Jun", dt.date(2027, 6, 20), "Sun 20 Jun"),
    "beds": (("Brook 4",), "Brook 4", ("Gate 1", "Gate 2"), "Gate 1 and 2"),
    "plot": ("Brook", "Brook", "Gate", "Gate"),
    "crop": ("radish", "radish", "arugula", "arugula"),
    "variety": ("astro", "astro", "sylvetta", "sylvetta"),
    "customer": ("Harbour Oven", "Harbour Oven", "Juniper Table", "Juniper Table"),
    "quantity": (Decimal("30.5"), "30.5", Decimal(26), "26"),
    "unit": ("bunch", "bunch", "kg", "kg"),
    "price": (Decimal("4.25"), "4.25", Decimal("3.125"), "3.125"),
    "amount": (Decimal("81.5"), "81.50", Decimal(90), "90.00"),
    "percent": (Decimal(80), "80%", Decimal(65), "65%"),
    "hours": (Decimal("2.5"), "2.5 hours", Decimal(3), "3 hours"),
    "minutes": (Decimal(45), "45", Decimal(50), "50"),
    "cut": (2, "cut 2", 3, "3"),
    "last": (True, "the last cut", False, "not the last cut"),
    "material": ("neem", "neem", "chicken manure", "chicken manure"),
    "what": ("flea beetles", "flea beetles", "flowers", "flowers"),
    "cause": ("slimy", "slimy", "hail", "hail"),
    "item": ("radish seed", "radish seed", "twine", "twine"),
    "to": ("the food shelf", "the food shelf", "neighbours", "neighbours"),
    "task": ("mend the fence", "mend the fence", "sharpen hoes", "sharpen hoes"),
    "who": ("Ines", "Ines", "Tomas", "Tomas"),
    "repeats": ("weekly", "weekly", "every two weeks", "every two weeks"),
    "text": ("swallows are back", "swallows are back", "first toads", "first toads"),
    "trays": (Decimal(4), "4 trays", Decimal(6), "6"),
    "cells": (72, "72 cells", 128, "128"),
    "length_ft": (Decimal(50), "50 ft", Decimal(100), "100 ft"),
    "width_in": (Decimal(30), "30 in", Decimal(48), "48 in"),
    "family": ("lettuce", "lettuce", "cabbage", "cabbage"),
    "days": (28, "28 days", 35, "35"),
    "cuts": (3, "3 cuts", 5, "5"),
    "yield_per_ft": (Decimal("0.4"), "0.4", Decimal("0.7"), "0.7"),
    "yield_unit": ("lb", "lb", "kg", "kg"),
    "name": ("turn_over_days", "turn over days", "first_frost", "first frost"),
    "value": ("12", "12", "17", "17"),
    "harvest_wait_days": (Decimal(7), "7 days", Decimal(9), "9"),
    "entry_wait_hours": (Decimal(13), "13 hours", Decimal(24), "24"),
    "seed_lot": ("A123", "seed lot A123", "88-B", "88-B"),
    "lot": ("33-3DM", "33-3DM", "33-4G3", "33-4G3"),
    "rate": ("2 oz per gallon", "2 oz per gallon", "1 tbsp a gallon", "1 tbsp a gallon"),
    "finished": ("07:30", "07:30", "18:15", "18:15"),
    "registration": ("70051-2", "70051-2", "73049-39", "73049-39"),
    "conditions": ("wind 3 mph", "wind 3 mph", "calm", "calm"),
    "high": (Decimal(82), "82", Decimal(77), "77"),
    "low": (Decimal(58), "58", Decimal(49), "49"),
    "rain": (Decimal("0.6"), "0.6", Decimal("1.1"), "1.1"),
    "rain_unit": ("in", "in", "mm", "mm"),
    "humidity": (Decimal(61), "61 %", Decimal(47), "47 %"),
    "temperature": (Decimal(38), "38", Decimal(46), "46"),
}
DEGREES = {"weather", "cooler_reading"}


def value_of(kind: str, name: str) -> tuple[Any, str, Any, str]:
    """The field's two values and how they are said; degrees have units of their own."""
    return ("F", "F", "C", "C") if kind in DEGREES and name == "unit" else VALUES[name]


def full(kind: str) -> Any:
    """A record of the kind with a value in every field."""
    fields = {field.name: value_of(kind, field.name)[0] for field in dataclasses.fields(KINDS[kind])}
    return KINDS[kind](**fields)


EVERY_FIELD = [(kind, field.name) for kind in TOLD for field in dataclasses.fields(KINDS[kind])]


@pytest.mark.parametrize(("kind", "name"), EVERY_FIELD)
def test_every_field_that_is_stored_is_said(kind: str, name: str) -> None:
    said = value_of(kind, name)[1]

    assert said in record(full(kind), TODAY, "USD")
    assert said in undone(full(kind), TODAY, "USD")


@pytest.mark.parametrize(("kind", "name"), EVERY_FIELD)
def test_every_changed_field_is_said_as_it_is_and_as_it_was(kind: str, name: str) -> None:
    _, _, other, said_now = value_of(kind, name)
    now = dataclasses.replace(full(kind), **{name: other})
    old, new = record(full(kind), TODAY), record(now, TODAY)
    line = corrected(full(kind), now, TODAY)

    assert old != new
    assert line.startswith("Changed: ")
    before, after = line.split(" now, was ", 1)
    yes_no = {"last": ("no", "yes")}
    wanted_now, wanted_was = yes_no.get(name, (said_now, _in_a_change(value_of(kind, name)[1])))
    assert wanted_now in before
    assert wanted_was in after


def _in_a_change(said: str) -> str:
    """Labelled fields are said without the noun that they have in a line of their own."""
    return re.sub(r" (?:days|cells|trays|cuts|hours)$", "", said.removeprefix("cut ").removeprefix("seed lot "))


@pytest.mark.parametrize("kind", TOLD)
def test_a_record_with_only_what_it_must_have_reads_as_one_line(kind: str) -> None:
    event = KINDS[kind]
    needed = {
        field.name: value_of(kind, field.name)[0]
        for field in dataclasses.fields(event)
        if field.default is dataclasses.MISSING
    }
    line = record(event(**{**needed, "date": TODAY}), TODAY)

    assert line.endswith(".")
    assert not [flaw for flaw in ("None", "  ", "\n", "..", ": .", " ,") if flaw in line]


@pytest.mark.parametrize(
    ("event", "line"),
    [
        (
            Harvested(date=TODAY, crop="radish", beds=("Brook 4",), quantity=Decimal(30), unit="lb"),
            "Harvested radish from Brook 4: 30 lb.",
        ),
        (
            Harvested(date=MONDAY, crop="arugula", beds=("Brook 1", "Gate 2"), quantity=Decimal(31), unit="lb"),
            "Harvested arugula from Brook 1, Gate 2 on Mon 14 Jun: 31 lb in all.",
        ),
        (
            Harvested(date=TODAY, crop="radish", beds=("Brook 4",)),
            "Harvested radish from Brook 4: no amount said.",
        ),
        (Cleared(date=dt.date(2026, 6, 15), beds=("Brook 4",)), "Cleared Brook 4 on Mon 15 Jun 2026."),
        (
            Sold(
                date=TODAY, crop="radish", quantity=Decimal(20), unit="lb", customer="Harbour Oven", price=Decimal(4)
            ),
            "Sold radish to Harbour Oven: 20 lb, $4.00 per lb, $80.00 in all.",
        ),
        (
            Ordered(date=TODAY, crop="radish", quantity=Decimal(15), unit="lb", customer="Juniper Table"),
            "Order of radish to Juniper Table for Wed 16 Jun: 15 lb.",
        ),
        (
            OrderCancelled(date=FRIDAY, crop="radish", customer="Juniper Table", repeats="weekly"),
            "Cancelled standing order of radish to Juniper Table from Fri 18 Jun on: weekly.",
        ),
        (
            Planned(date=FRIDAY, task="prepared", beds=("Brook 4",), who="Bea"),
            "Planned on Fri 18 Jun: turn over Brook 4, Bea.",
        ),
        (Weather(date=TODAY, high=Decimal(82), unit="F", rain=Decimal(0)), "Weather: high 82 F, no rain (0)."),
        (Setting(date=TODAY, name="currency", value="USD"), "Set: currency USD."),
        (
            Setting(date=TODAY, name="weight", crop="radish", value={"unit": "tote", "quantity": "20", "in": "lb"}),
            "Set for radish: a tote holds 20 lb.",
        ),
        (
            Setting(date=TODAY, name="alias", value={"say": "rad", "mean": "radish"}),
            'Set: "rad" means radish.',
        ),
        (
            Setting(date=TODAY, name="monthly_highs", value=[40, 42.5]),
            "Set: monthly highs 40, 42.5.",
        ),
        (Noted(date=TODAY, text="hail at noon!"), "Noted: hail at noon!"),
        (Setting(date=TODAY, name="cooler", value=True), "Set: cooler yes."),
        (
            Setting(date=TODAY, name="yield_per_bed", crop="radish", value=["25", "lb"]),
            "Set for radish: yield of a bed 25 lb.",
        ),
        (Setting(date=TODAY, name="place", value={"north": "yes", "rows": 3}), "Set: place north yes, rows 3."),
        (
            Sold(date=TODAY, crop="radish", quantity=Decimal(1), unit="each", price=Decimal("2.5")),
            "Sold radish: 1 each, $2.50 each.",
        ),
        (
            OrderChanged(date=FRIDAY, crop="radish", customer="Juniper Table", price=Decimal(3)),
            "Changed order of radish to Juniper Table for Fri 18 Jun: $3.00 for one.",
        ),
    ],
)  # fmt: skip
def test_lines_as_a_grower_hears_them(event: Event, line: str) -> None:
    assert record(event, TODAY, "USD") == line


def test_what_was_changed_and_taken_back_names_the_record() -> None:
    was = Harvested(date=TODAY, crop="radish", beds=("Brook 4",), quantity=Decimal(28), unit="lb")
    now = dataclasses.replace(was, quantity=Decimal(26))

    assert corrected(was, now, TODAY) == "Changed: radish from Brook 4 is 26 lb now, was 28 lb."
    assert undone(was, TODAY) == "Taken back: harvested radish from Brook 4, 28 lb."


def test_several_changes_are_all_named() -> None:
    was = Harvested(date=TODAY, crop="radish", beds=("Brook 4",), quantity=Decimal(28), unit="lb")
    now = dataclasses.replace(was, beds=("Brook 5",), quantity=None, unit=None, last=True)
    line = corrected(was, now, TODAY)

    assert "is not said now, was 28 lb" in line
    assert "bed Brook 5 now, was Brook 4" in line
    assert "last cut yes now, was not said" in line


def test_a_record_that_became_another_kind_is_said_whole_both_ways() -> None:
    was, now = Weeded(date=TODAY, beds=("Brook 4",)), Cleared(date=TODAY, beds=("Brook 4",))

    assert corrected(was, now, TODAY) == "Changed: cleared Brook 4 now, was weeded Brook 4."
    assert corrected(was, was, TODAY) == "Nothing changed: weeded Brook 4."


def test_a_unit_that_changed_is_said_with_its_number() -> None:
    was = Weather(date=TODAY, high=Decimal(30), low=Decimal(15), unit="F")

    assert corrected(was, dataclasses.replace(was, unit="C"), TODAY) == (
        "Changed: weather, high 30 C now, was 30 F; low 15 C now, was 15 F."
    )


def picked(bed: str, quantity: int | None = 20) -> Harvested:
    amount: dict[str, Any] = {"quantity": Decimal(quantity), "unit": "lb"} if quantity else {}
    return Harvested(date=TODAY, crop="radish", beds=(bed,), **amount)


def test_alike_work_in_several_beds_is_said_in_one_line() -> None:
    weeded = [Weeded(date=TODAY, beds=(bed,)) for bed in ("Brook 1", "Brook 2", "Gate 1")]

    assert records(weeded, TODAY) == "Weeded Brook 1 and 2, Gate 1."
    assert records([picked("Brook 1"), picked("Brook 2")], TODAY) == (
        "Harvested radish from Brook 1 and 2: 20 lb in each bed."
    )
    assert records([picked("Brook 1", None), picked("Brook 2", None)], TODAY).count("\n") == 0


@pytest.mark.parametrize(
    "events",
    [
        [picked("Brook 1"), picked("Brook 2", 21)],
        [picked("Brook 1"), picked("Brook 1")],
        [picked("Brook 1"), dataclasses.replace(picked("Brook 2"), last=True)],
        [picked("Brook 1"), dataclasses.replace(picked("Brook 2"), beds=("Brook 2", "Brook 3"))],
        [Weeded(date=TODAY, beds=("Brook 1",)), Weeded(date=MONDAY, beds=("Brook 2",))],
        [Weeded(date=TODAY, beds=("Brook 1",)), Worked(date=TODAY, hours=Decimal(2))],
        [Weeded(date=TODAY, beds=("Brook 1",)), Worked(date=MONDAY, hours=Decimal(2), task="weeding")],
        [Noted(date=TODAY, text="rain"), Noted(date=TODAY, text="rain")],
    ],
)
def test_what_differs_in_more_than_its_bed_has_a_line_of_its_own(events: list[Event]) -> None:
    assert records(events, TODAY) == "\n".join(record(event, TODAY) for event in events)


def test_work_and_its_hours_share_a_line() -> None:
    events = [
        Weeded(date=TODAY, beds=("Brook 1",)),
        Weeded(date=TODAY, beds=("Brook 2",)),
        Worked(date=TODAY, hours=Decimal(2), task="weeding", who="Ines"),
        Watered(date=TODAY, beds=("Brook 2",), minutes=Decimal(30)),
    ]

    assert records(events, TODAY) == (
        "Weeded Brook 1 and 2: worked 2 hours, Ines.\nWatered Brook 2: 30 minutes."
    )  # fmt: skip


def test_no_record_among_many_is_left_unsaid() -> None:
    lines = records([full(kind) for kind in TOLD], TODAY, "USD")

    assert [line for kind in TOLD if (line := record(full(kind), TODAY, "USD")) not in lines] == []


BED = ("Brook 4",)


# Cautions of common practice; the cold limit for cut leafy greens, 41 F (5 C), is that of the FDA Food Code, section
# 3-501.16 (from memory).
@pytest.mark.parametrize(
    ("event", "word"),
    [
        (Sprayed(date=TODAY, beds=BED, material="neem"), "label"),
        (Planned(date=TODAY, task="sprayed", beds=BED), "label"),
        (Amended(date=TODAY, beds=BED, material="horse manure"), "local rules"),
        (Amended(date=TODAY, beds=BED, material="compost"), "raw manure"),
        (Amended(date=TODAY, beds=BED, material="lime"), "label"),
        (Prepared(date=TODAY, beds=BED), "engine off"),
        (Returned(date=TODAY, crop="radish", quantity=Decimal(2), unit="lb"), "throw it out"),
        (Sighted(date=TODAY, beds=BED, what="deer droppings"), "pick nothing"),
        (CoolerReading(date=TODAY, temperature=Decimal(42), unit="F"), "local rules"),
        (CoolerReading(date=TODAY, temperature=Decimal(6), unit="C"), "local rules"),
    ],
)
def test_work_that_can_hurt_brings_its_caution(event: Event, word: str) -> None:
    caution = cautions(event)

    assert caution is not None
    assert word in caution
    assert len(caution) <= 110


@pytest.mark.parametrize(
    "event",
    [
        Weeded(date=TODAY, beds=BED),
        Amended(date=TODAY, beds=BED, material="leaf mold"),
        Sighted(date=TODAY, beds=BED, what="flowers"),
        CoolerReading(date=TODAY, temperature=Decimal(41), unit="F"),
        CoolerReading(date=TODAY, temperature=Decimal(5), unit="C"),
    ],
)
def test_harmless_work_brings_no_caution(event: Event) -> None:
    assert cautions(event) is None


def test_the_same_risk_is_told_in_the_same_words() -> None:
    neem, soap = (Sprayed(date=TODAY, beds=BED, material=material) for material in ("neem", "insecticidal soap"))

    assert cautions(neem) == cautions(soap)


def test_a_cooler_that_fails_on_another_day_is_a_new_caution() -> None:
    readings = [CoolerReading(date=day, temperature=Decimal(50), unit="F") for day in (MONDAY, TODAY)]

    assert cautions(readings[0]) != cautions(readings[1])


def test_amounts_are_those_of_the_text_helpers() -> None:
    quantity = Decimal("1234.5")

    assert text.amount(quantity, "lb") in record(dataclasses.replace(picked("Brook 1"), quantity=quantity), TODAY)
