"""What is asked back: a question for every gap and every doubt, with its reason and what is known already."""

import dataclasses
import datetime as dt
import inspect
import re
from decimal import Decimal
from typing import Any

import pytest

from assistant.wording import asking
from assistant.wording.doubting import DOUBTS
from assistant.wording.questions import QUESTIONS
from assistant.wording.recap import DID
from engine import checks
from engine.checks import Doubt, doubts
from engine.events import (
    KINDS,
    CoolerReading,
    Event,
    Germinated,
    Harvested,
    Json,
    OrderCancelled,
    Ordered,
    Setting,
    Sold,
    Sown,
    Sprayed,
    Transplanted,
    Watered,
    Weather,
    Weeded,
    Worked,
    from_json,
)
from engine.season import season_of
from engine.state import Season
from engine.view import Fact

TODAY = dt.date(2027, 6, 16)
FLAWS = ("None", "  ", "{", "}", "!", "Decimal", "_", "??", " ,", ".. ")

# Brook 1 and 2 hold radish, Brook 3 arugula sprayed with neem; 12 lb of radish lie in the cooler.
BOOK: tuple[Json, ...] = (
    {
        "kind": "plot_added", "date": "2027-01-01", "plot": "Brook", "beds": [f"Brook {n}" for n in range(1, 7)],
        "length_ft": 50,
    },
    {"kind": "plot_added", "date": "2027-01-01", "plot": "Gate", "beds": ["Gate 1", "Gate 2"], "length_ft": 100},
    {"kind": "customer_added", "date": "2027-01-01", "customer": "Harbour Oven"},
    {"kind": "sown", "date": "2027-05-20", "crop": "radish", "beds": ["Brook 1"]},
    {"kind": "sown", "date": "2027-05-20", "crop": "radish", "beds": ["Brook 2"]},
    {"kind": "sown", "date": "2027-05-10", "crop": "arugula", "beds": ["Brook 3"]},
    {"kind": "sprayed", "date": "2027-06-15", "beds": ["Brook 3"], "material": "neem", "harvest_wait_days": 7},
    {"kind": "harvested", "date": "2027-06-14", "crop": "radish", "beds": ["Brook 2"], "quantity": 12, "unit": "lb"},
    {"kind": "sown", "date": "2027-06-16", "crop": "cress", "beds": ["Brook 5"]},
    {"kind": "prepared", "date": "2027-06-10", "beds": ["Gate 1"]},
    {"kind": "setting", "date": "2027-01-01", "name": "monthly_lows", "value": ["2"] * 12},
)  # fmt: skip


def farm(day: dt.date = TODAY) -> Season:
    """The farm of the book on a day."""
    said = [Fact(entry, from_json(record), "") for entry, record in enumerate(BOOK, 1)]
    return season_of(sorted(said, key=lambda fact: fact.event.date), day)


def day(text: str) -> dt.date:
    return dt.date.fromisoformat(text)


def picked(crop: str = "radish", bed: str = "Brook 1", quantity: str = "10", date: dt.date = TODAY) -> Harvested:
    return Harvested(date=date, crop=crop, beds=(bed,), quantity=Decimal(quantity), unit="lb")


def sold(customer: str | None = "Harbour Oven", quantity: str = "10", price: str | None = None) -> Sold:
    cost = Decimal(price) if price else None
    return Sold(date=TODAY, crop="radish", quantity=Decimal(quantity), unit="lb", customer=customer, price=cost)


def wanted(**changed: Any) -> Ordered:
    order = Ordered(date=day("2027-06-18"), crop="radish", quantity=Decimal(15), unit="lb", customer="Harbour Oven")
    return dataclasses.replace(order, **changed)


# For each doubt a record that raises it, and what its question has to say.
DOUBTFUL: dict[str, tuple[Event, tuple[str, ...]]] = {
    "in_the_future": (picked(date=day("2027-06-20")), ("Sun 20 Jun is still to come", "harvest of radish")),
    "long_ago": (Weeded(date=day("2025-06-01"), beds=("Brook 1",)), ("Sun 1 Jun 2025", "days ago", '"yes"')),
    "far_away": (wanted(date=day("2029-06-18")), ("Mon 18 Jun 2029", "year", '"yes"')),
    "not_positive": (picked(quantity="0"), ("0 cannot be the amount",)),
    "negative": (sold(price="-4"), ("-4 cannot be the price",)),
    "over_100_percent": (Germinated(date=TODAY, beds=("Brook 1",), percent=Decimal(140)), ("140%", "How many percent")),
    "price_absurd": (sold(price="900"), ("$900.00 per lb", "radish", '"yes"')),
    "bed_unknown": (picked(bed="Terrace 2"), ("no bed Terrace 2", "Brook 2 or Gate 2?")),
    "bed_empty": (picked(bed="Brook 6"), ("Brook 6", "Radish stands in Brook 1 and 2", '"yes"')),
    "crop_not_in_bed": (picked(bed="Brook 3"), ("Brook 3 holds arugula, not radish", "Brook 1 and 2", '"yes"')),
    "bed_planted": (
        Sown(date=TODAY, crop="carrot", beds=("Brook 1",)), ("Brook 1 still holds radish", "Thu 20 May", "(yes or no)")
    ),
    "over_since": (Sown(date=day("2027-06-01"), crop="carrot", beds=("Gate 1",)), ("Gate 1", "Thu 10 Jun", '"yes"')),
    "picked_when_sown": (picked("cress", "Brook 5", "1"), ("Cress in Brook 5", "Wed 16 Jun", '"yes"')),
    "waiting_time": (
        picked("arugula", "Brook 3", "1"),
        ("neem on Tue 15 Jun", "ends Tue 22 Jun", "label", "local rules", "buyers", "certifiers", "(yes or no)"),
    ),
    "far_more_than_a_bed_yields": (
        picked(quantity="2600"), ("2,600 lb of radish from Brook 1 is far more than", "How much was it?", '"yes"')
    ),
    "more_than_was_picked": (sold(quantity="20"), ("only 12 lb of radish", "Was 20 lb sold?", "(yes or no)")),
    "lot_holds_less": (
        Sold(date=TODAY, crop="radish", quantity=Decimal(1), unit="lb", lot="33-XXX"),
        ("lot 33-XXX has no radish", "taken from there?", "(yes or no)"),
    ),
    "customer_unknown": (sold(customer="Harbor Ovens"), ("Harbor Ovens", "Harbour Oven", '"yes"')),
    "repeats_unclear": (wanted(repeats="now and then"), ('"now and then"', "How often")),
    "ends_before_it_starts": (wanted(until=day("2027-06-17")), ("Thu 17 Jun", "Fri 18 Jun", "Until which day")),
    "no_such_order": (
        OrderCancelled(date=day("2027-06-18"), crop="radish", customer="Juniper Table"),
        ("no order of radish for Juniper Table", "Fri 18 Jun"),
    ),
    "wait_absurd": (
        Sprayed(date=TODAY, beds=("Brook 1",), material="neem", harvest_wait_days=Decimal(400)),
        ("400 days to harvest", "what the label says", '"yes"'),
    ),
    "watering_absurd": (
        Watered(date=TODAY, beds=("Brook 1",), minutes=Decimal(2700)),
        ("45 hours", "how many minutes", "yes"),
    ),
    "figure_impossible": (
        Setting(date=TODAY, name="days", value="900", crop="radish"),
        ("Radish, days from sowing to the first cut", "900 is outside 5 to 400", "What is it?"),
    ),
    "yield_absurd": (
        Setting(date=TODAY, name="yield_per_bed", value=["4000", "lb"], crop="arugula"),
        ("4,000 lb as arugula's yield of a bed", "far more than the", '"yes"'),
    ),
    "far_more_than_a_bed_holds": (
        Transplanted(date=TODAY, crop="lettuce", beds=("Brook 2",), quantity=Decimal(90000)),
        ("90,000 plants", "Brook 2", "How many"),
    ),
    "not_twelve_months": (
        Setting(date=TODAY, name="monthly_lows", value=["4", "2", "8"]), ("3 figures", "12 months", "average lows")
    ),
    "month_low_above_high": (
        Setting(date=TODAY, name="monthly_highs", value=["1"] * 12),
        ("January's average low", "above its high", '"yes"'),
    ),
    "hours_absurd": (Worked(date=TODAY, hours=Decimal(30), who="Ines"), ("30 hours", "did Ines work?")),
    "temperature_impossible": (Weather(date=TODAY, high=Decimal(820), unit="F"), ("high of 820 F", "the high?")),
    "high_below_low": (Weather(date=TODAY, high=Decimal(50), low=Decimal(60), unit="F"), ("50", "60")),
    "rain_impossible": (Weather(date=TODAY, rain=Decimal(90), rain_unit="in"), ("90 in of rain", "How much was it?")),
}  # fmt: skip
CODES = sorted(set(re.findall(r'_doubt\([^,]+, "(\w+)"', inspect.getsource(checks))))


def raised(event: Event, code: str) -> Doubt:
    """The doubt of that code, as the engine raises it on the season's book."""
    found = {doubt.code: doubt for doubt in doubts(event, farm(min(event.date, TODAY)), TODAY, farm())}
    return found[code]


def test_the_codes_of_doubts_are_found_in_their_source() -> None:
    assert {"in_the_future", "waiting_time", "not_positive"} <= set(CODES)


@pytest.mark.parametrize("code", CODES)
def test_every_doubt_is_asked_about_with_its_reason(code: str) -> None:
    event, words = DOUBTFUL[code]
    question = asking.doubt(raised(event, code), event, TODAY, "USD")

    assert [word for word in words if word not in question] == []
    assert [flaw for flaw in FLAWS if flaw in question] == []
    assert question[0] == question[0].upper()
    assert "?" in question


@pytest.mark.parametrize("code", CODES)
def test_only_what_may_be_true_can_be_kept_by_a_yes(code: str) -> None:
    event, _ = DOUBTFUL[code]
    doubt = raised(event, code)

    assert ("yes" in asking.doubt(doubt, event, TODAY)) == (not doubt.firm)


def test_no_doubt_has_words_that_the_engine_never_raises() -> None:
    assert sorted(DOUBTS) == CODES


@pytest.mark.parametrize(
    ("event", "code", "words"),
    [
        (CoolerReading(date=TODAY, temperature=Decimal(150), unit="F"), "temperature_impossible", "150 F can hardly"),
        (Worked(date=TODAY, hours=Decimal(900)), "hours_absurd", "900 hours in one day"),
        (
            Sprayed(date=TODAY, beds=("Brook 1",), material="neem", entry_wait_hours=Decimal(999)),
            "wait_absurd", "999 hours to going in",
        ),
        (wanted(customer="Vale Grocers"), "customer_unknown", "no customer on record"),
    ],
)  # fmt: skip
def test_doubts_that_may_be_kept_in_another_form_too(event: Event, code: str, words: str) -> None:
    assert words in asking.doubt(raised(event, code), event, TODAY)


def test_an_empty_cooler_and_a_wait_of_unknown_length_are_said_to_be_so() -> None:
    event = Sold(date=TODAY, crop="arugula", quantity=Decimal(5), unit="lb")
    unknown = Doubt(
        "confirm", "waiting_time", (
            ("bed", "Brook 3"), ("reason", "spray"), ("material", "neem"), ("since", TODAY),
            ("until", None), ("why", "the days to harvest on its label were not given"),
        ),
    )  # fmt: skip

    assert "there is no arugula" in asking.doubt(raised(event, "more_than_was_picked"), event, TODAY)
    assert "was not said" in asking.doubt(unknown, picked("arugula", "Brook 3"), TODAY)


def test_a_day_of_another_year_is_asked_about_with_its_year() -> None:
    event = picked(date=day("2028-06-16"))

    assert "Fri 16 Jun 2028" in asking.doubt(raised(event, "in_the_future"), event, TODAY)


KNOWN: dict[str, Any] = {
    "beds": ("Brook 4",), "crop": "radish", "quantity": Decimal(30), "unit": "lb", "date": day("2027-06-15"),
    "customer": "Harbour Oven", "price": Decimal(4), "material": "neem", "what": "flea beetles", "item": "radish seed",
    "task": "harvested", "who": "Ines", "plot": "Brook", "amount": Decimal(40), "hours": Decimal(2),
    "minutes": Decimal(30), "temperature": Decimal(38), "high": Decimal(80), "low": Decimal(60), "rain": Decimal(5),
}  # fmt: skip
GAPS = [
    (kind, field.name)
    for kind, event in KINDS.items() if kind not in ("corrected", "undone")
    for field in dataclasses.fields(event) if field.default is dataclasses.MISSING or field.name == "unit"
]  # fmt: skip


@pytest.mark.parametrize(("kind", "field"), GAPS)
def test_every_field_that_a_record_needs_can_be_asked_for(kind: str, field: str) -> None:
    names = {one.name for one in dataclasses.fields(KINDS[kind])} - {field}
    known = {name: value for name, value in KNOWN.items() if name in names}

    for fields in ({}, known):
        question = asking.missing(field, kind, fields, (), TODAY)

        assert question.endswith("?")
        assert question != "How is that meant?"
        assert [flaw for flaw in FLAWS if flaw in question] == []
        assert len(question) <= 100


@pytest.mark.parametrize(
    "field",
    ["beds", "crop", "quantity", "unit", "date", "customer", "price", "amount", "material", "what", "item", "task",
     "percent", "hours", "temperature", "minutes", "rain_unit"],
)  # fmt: skip
def test_a_field_can_be_asked_for_whatever_the_line_was(field: str) -> None:
    for kind in ("", "flipped", "bed_story", *KINDS):
        assert asking.missing(field, kind, {}, ("a", "b"), TODAY).endswith(": a or b?")


@pytest.mark.parametrize("field", sorted(QUESTIONS))
def test_no_kind_has_a_question_that_never_could_be_asked(field: str) -> None:
    assert set(QUESTIONS[field]) <= {"", "flipped", "compost_told", *KINDS}  # the middle two are only said


@pytest.mark.parametrize(
    ("field", "kind", "fields", "choices", "question"),
    [
        ("beds", "cleared", {}, ("Brook 2", "Terrace 2", "Gate 2"),
         "Which bed was cleared: Brook 2, Terrace 2 or Gate 2?"),
        (
            "beds", "harvested", {"crop": "radish", "quantity": Decimal(30), "unit": "lb"}, ("Brook 1", "Brook 2"),
            "Which bed was 30 lb of radish harvested from: Brook 1 or Brook 2?",
        ),
        (
            "beds", "weeded", {"unknown_bed": "Brook 40", "date": day("2027-06-15")}, ("Brook 4",),
            "There is no bed Brook 40. Which bed was weeded on Tue 15 Jun: Brook 4?",
        ),
        ("beds", "weeded", {"unknown_bed": "bed 77"}, (), "There is no bed 77. Which bed was weeded?"),
        ("crop", "harvested", {"beds": ("Brook 4",)}, (), "Which crop was harvested from Brook 4?"),
        (
            "quantity", "sold", {"crop": "radish", "unit": "bunch", "customer": "Harbour Oven"}, (),
            "How much radish was sold to Harbour Oven, in bunches?",
        ),
        (
            "unit", "harvested", {"crop": "radish", "quantity": Decimal(30), "beds": ("Brook 4",)}, ("lb", "bunch"),
            "In which unit is the 30 of radish from Brook 4: lb or bunch?",
        ),
        (
            "date", "ordered", {"crop": "radish", "quantity": Decimal(15), "unit": "lb", "customer": "Harbour Oven"},
            (), "Which day is 15 lb of radish wanted by Harbour Oven?",
        ),
        ("date", "harvested", {"crop": "radish", "beds": ("Brook 4",)}, (),
         "Which day was the harvest of radish in Brook 4?"),
        ("date", "weeded", {"beds": ("Brook 4",)}, (), "Which day was the weeding of Brook 4?"),
        (
            "kind", "", {"crop": "radish", "beds": ("Brook 4",), "date": TODAY}, ("harvested", "cleared"),
            "What was done with radish in Brook 4: picked or cleared?",
        ),
        ("kind", "", {}, (), "What was done?"),
        ("unit", "cooler_reading", {"temperature": Decimal(38)}, ("F", "C"),
         "In which degrees did the cooler read 38: F or C?"),
    ],
)  # fmt: skip
def test_questions_name_what_is_known(
    field: str, kind: str, fields: dict[str, Any], choices: tuple[str, ...], question: str
) -> None:
    assert asking.missing(field, kind, fields, choices, TODAY) == question


def test_at_most_six_choices_are_listed() -> None:
    beds = tuple(f"Brook {number}" for number in range(1, 9))
    question = asking.missing("beds", "weeded", {}, beds, TODAY)

    assert question.endswith(": Brook 1, Brook 2, Brook 3, Brook 4, Brook 5, Brook 6 or another?")
    assert asking.missing("beds", "weeded", {}, beds[:6], TODAY).endswith("Brook 5 or Brook 6?")


def test_what_was_done_is_offered_in_plain_words_for_every_kind() -> None:
    for kind in set(KINDS) - {"corrected", "undone", "plot_added", "customer_added", "crop_added", "setting"}:
        assert asking.missing("kind", "", {}, (kind,), TODAY) == f"What was done: {DID[kind]}?"


def test_a_range_asks_which_end_or_what_between() -> None:
    assert asking.range_(Decimal(25), Decimal(30), "lb", None) == "Was it 25 or 30 lb, or something between?"
    assert asking.range_(Decimal(1), Decimal(2), "bunch", "radish") == (
        "Was it 1 or 2 bunches of radish, or something between?"
    )


def test_two_readings_are_numbered() -> None:
    assert asking.either(("Cleared Brook 2.", "Cleared Gate 2.")) == (
        "Did you mean: (1) Cleared Brook 2 or (2) Cleared Gate 2?"
    )


def test_unread_words_are_quoted_before_what_would_be_written() -> None:
    assert asking.confirm_unread(("frobbed", "the thing"), "Cleared Brook 2.\nWeeded Brook 3.") == (
        'I did not get "frobbed" and "the thing". Shall I write: Cleared Brook 2. Weeded Brook 3? (yes or no)'
    )
    assert asking.also_unread(("frobbed",)) == 'I did not get "frobbed"; nothing was written for it.'


def test_what_was_not_understood_is_followed_by_at_most_three_offers() -> None:
    said = asking.not_understood(("frobbed",), ("one", "two", "three", "four"))

    assert said.split("\n") == [
        'I did not get "frobbed". Nothing was written for it.',
        'You could say: "one", "two" or "three".',
    ]
    assert asking.not_understood((), ()) == "I did not get that. Nothing was written for it."


def test_an_open_question_that_ends_is_said_again() -> None:
    question = "Which bed was cleared: Brook 2 or Gate 2?"

    assert asking.dropped(question).endswith(question)
    assert "nothing" in asking.dropped(question)
