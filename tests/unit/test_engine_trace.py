"""What a trace promises: every ounce forward to whoever got it, every delivery back to its beds."""

import datetime as dt
from decimal import Decimal
from typing import Any

import pytest

from assistant.wording.trace import trace as said
from engine.asks import Ask
from engine.flows import flows
from engine.lot_codes import SIGNS, entry_of, lot_code
from engine.recall import recall
from engine.trace import trace

SOWN = {
    "kind": "sown",
    "date": "2027-05-10",
    "crop": "radish",
    "beds": ["Brook 1", "Brook 2"],
    "variety": "Cherry Belle",
}
PICKED_1 = {
    "kind": "harvested",
    "date": "2027-06-08",
    "crop": "radish",
    "beds": ["Brook 1"],
    "quantity": 20,
    "unit": "lb",
}
PICKED_2 = {
    "kind": "harvested",
    "date": "2027-06-10",
    "crop": "radish",
    "beds": ["Brook 2"],
    "quantity": 12,
    "unit": "lb",
}


def move(kind: str, day: str, quantity: float, **fields: Any) -> dict[str, Any]:
    return {"kind": kind, "date": day, "crop": "radish", "quantity": quantity, "unit": "lb", **fields}


def season(pages: Any, *records: dict[str, Any], today: str = "2027-06-14") -> Any:
    return pages(today, SOWN, PICKED_1, PICKED_2, *records)


def test_a_sale_goes_out_of_the_lot_that_was_said_and_else_of_the_oldest(pages: Any) -> None:
    (newest,) = trace(season(pages), Ask(topic="trace", crop="radish", date=dt.date(2027, 6, 10))).lots
    view = season(
        pages,
        move("sold", "2027-06-11", 5, customer="Harbour Oven", lot=newest.code),
        move("sold", "2027-06-11", 3, customer="Vale Grocers"),
    )
    assert [lot.left for lot in view.season().lots] == [Decimal(17), Decimal(7)]
    (lot,) = trace(view, Ask(topic="trace", about=newest.code)).lots
    assert [(m.customer, m.quantity) for m in lot.moved] == [("Harbour Oven", Decimal(5))]


def test_a_harvest_is_followed_to_everyone_who_got_of_it(pages: Any) -> None:
    view = season(
        pages,
        move("sold", "2027-06-09", 8, customer="Harbour Oven"),
        move("given", "2027-06-09", 1, to="neighbours"),
        move("sold", "2027-06-11", 15, customer="Vale Grocers"),
        move("discarded", "2027-06-12", 2),
    )
    (lot,) = trace(view, Ask(topic="trace", crop="radish", date=dt.date(2027, 6, 8))).lots
    assert [(m.way, m.customer, m.quantity) for m in lot.moved] == [
        ("sold", "Harbour Oven", Decimal(8)),
        ("given", "neighbours", Decimal(1)),
        ("sold", "Vale Grocers", Decimal(11)),
    ]
    assert lot.left == 0


def test_a_delivery_is_followed_back_to_its_lots_beds_and_what_was_put_on_them(pages: Any) -> None:
    view = season(
        pages,
        {"kind": "amended", "date": "2027-05-08", "beds": ["Brook 1"], "material": "lime"},
        {"kind": "sprayed", "date": "2027-06-01", "beds": ["Brook 2"], "material": "soap", "harvest_wait_days": 1},
        {"kind": "sprayed", "date": "2027-06-12", "beds": ["Brook 2"], "material": "neem", "harvest_wait_days": 1},
        {"kind": "watered", "date": "2027-06-02", "beds": ["Brook 1", "Brook 3"], "minutes": 20},
        move("sold", "2027-06-11", 25, customer="Vale Grocers"),
    )
    result = trace(view, Ask(topic="trace", customer="Vale Grocers", date=dt.date(2027, 6, 11)))
    (sale,) = result.sales
    assert [(quantity, unit) for _, quantity, unit in sale.lots] == [(Decimal(20), "lb"), (Decimal(5), "lb")]
    first, second = result.lots
    assert [(origin.bed, origin.sown, origin.variety) for origin in first.origins] == [
        ("Brook 1", dt.date(2027, 5, 10), "Cherry Belle")
    ]
    assert [each.material for each in first.inputs] == ["lime"]
    assert (first.waterings, first.last_watered) == (1, dt.date(2027, 6, 2))
    assert [each.material for each in second.inputs] == ["soap"]  # the neem came after the picking


def test_a_lot_tells_the_lot_of_seed_that_it_was_sown_from(pages: Any) -> None:
    view = pages("2027-06-14", {**SOWN, "seed_lot": "A123"}, PICKED_1)
    result = trace(view, Ask(topic="trace", crop="radish"))
    assert [origin.seed_lot for origin in result.lots[0].origins] == ["A123"]
    assert "radish Cherry Belle sown Mon 10 May, seed lot A123" in said(result, Ask(topic="trace"), 100)


@pytest.mark.parametrize(
    ("trays", "own", "told"),
    [
        (["5512"], None, "5512"),
        (["5512", "5512"], None, "5512"),
        (["5512", "88-B"], None, None),  # in which of them it stood was not said
        (["5512", None], None, None),
        (["5512"], "7", "7"),
        ([], None, None),
    ],
)
def test_seedlings_have_the_seed_lot_of_their_trays_where_there_is_only_one(
    pages: Any, trays: list[str | None], own: str | None, told: str | None
) -> None:
    sown = [
        {"kind": "tray_sown", "date": "2027-04-10", "crop": "kale", "trays": 2} | ({"seed_lot": lot} if lot else {})
        for lot in trays
    ]
    planted = {"kind": "transplanted", "date": "2027-05-10", "crop": "kale", "beds": ["Brook 1"]}
    picked = {**PICKED_1, "crop": "kale", "unit": "bunch"}
    view = pages("2027-06-14", *sown, planted | ({"seed_lot": own} if own else {}), picked)
    (lot,) = trace(view, Ask(topic="trace", crop="kale")).lots
    assert [origin.seed_lot for origin in lot.origins] == [told]


def test_a_lot_is_found_by_the_code_on_its_crate(pages: Any) -> None:
    view = season(pages)
    latest = trace(view, Ask(topic="trace", crop="radish")).lots
    assert [lot.date for lot in latest] == [dt.date(2027, 6, 10)]
    found = trace(view, Ask(topic="trace", about=latest[0].code.lower())).lots
    assert [lot.entry for lot in found] == [latest[0].entry]


def test_what_no_lot_can_have_held_is_said_and_not_shared_out(pages: Any) -> None:
    view = season(pages, move("sold", "2027-06-11", 40, customer="Vale Grocers"))
    (sale,) = trace(view, Ask(topic="trace", customer="Vale Grocers")).sales
    assert sale.unknown == Decimal(8)
    assert sum(quantity for _, quantity, _ in sale.lots) == Decimal(32)


def test_a_sale_told_before_the_harvest_of_its_day_came_from_that_harvest(pages: Any) -> None:
    view = pages("2027-06-14", SOWN, move("sold", "2027-06-08", 9, customer="Harbour Oven"), PICKED_1)
    (sale,) = trace(view, Ask(topic="trace", customer="Harbour Oven")).sales
    (lot,) = trace(view, Ask(topic="trace", crop="radish", date=dt.date(2027, 6, 8))).lots
    assert sale.lots == ((lot.code, Decimal(9), "lb"),)
    assert (sale.unknown, lot.left) == (0, Decimal(11))


def test_what_came_back_is_in_its_lot_again(pages: Any) -> None:
    view = season(
        pages,
        move("sold", "2027-06-09", 8, customer="Harbour Oven"),
        move("returned", "2027-06-10", 3, customer="Harbour Oven"),
    )
    (lot,) = trace(view, Ask(topic="trace", date=dt.date(2027, 6, 8))).lots
    assert [(m.way, m.quantity) for m in lot.moved] == [("sold", Decimal(8)), ("returned", Decimal(3))]
    assert lot.left == Decimal(15)


def test_ounces_sold_from_a_lot_in_pounds_balance_to_the_last_ounce(pages: Any) -> None:
    view = season(pages, *[move("sold", "2027-06-11", 16, customer="Harbour Oven") | {"unit": "oz"} for _ in range(32)])
    moved = flows(view, dt.date(2027, 6, 8), dt.date(2027, 6, 14))
    assert sum(flow.quantity for flow in moved) == Decimal(32)
    assert {lot.entry: lot.left for lot in view.season().lots} == {5: Decimal(0), 6: Decimal(0)}
    assert all(flow.lot is not None for flow in moved)


def test_lots_in_a_trace_hold_what_the_season_says_is_left(pages: Any) -> None:
    view = season(
        pages,
        move("sold", "2027-06-08", 5, customer="Harbour Oven"),
        move("discarded", "2027-06-09", 2.5),
        move("returned", "2027-06-09", 1, customer="Harbour Oven"),
        move("sold", "2027-06-10", 20, customer="Vale Grocers"),
        move("returned", "2027-06-13", 4, customer="Vale Grocers"),
    )
    ask = Ask(topic="trace", start=dt.date(2027, 6, 8), end=dt.date(2027, 6, 10))
    traced = {lot.entry: lot.left for lot in trace(view, ask).lots}
    assert traced == {lot.entry: lot.left for lot in view.season().lots}


@pytest.mark.parametrize("entry", [1, 7, 22, 23, 500, 12_345, 499_999, 12_000_000])
def test_a_lot_code_reads_back_to_its_entry_however_it_is_written(entry: int) -> None:
    code = lot_code(entry)
    assert entry_of(code) == entry
    assert entry_of(code.lower().replace("-", " ")) == entry


@pytest.mark.parametrize("entry", [1, 529, 12_345, 499_999])
def test_one_misread_sign_or_two_exchanged_make_no_good_code(entry: int) -> None:
    signs = lot_code(entry).replace("-", "")
    wrong = {signs[:at] + sign + signs[at + 1 :] for at in range(len(signs)) for sign in SIGNS if sign != signs[at]}
    swapped = {signs[:at] + signs[at + 1] + signs[at] + signs[at + 2 :] for at in range(len(signs) - 1)} - {signs}
    assert [code for code in wrong | swapped if entry_of(code) is not None] == []


def test_a_lot_code_is_short_and_has_no_signs_that_look_alike() -> None:
    assert len(lot_code(499_999)) == 7
    assert not set("01258BILOSUVZ") & set(SIGNS)
    assert [entry_of(text) for text in ("", "radish", "12", "harvest")] == [None] * 4


def test_the_reply_names_the_lot_its_bed_and_who_got_it(pages: Any) -> None:
    ask = Ask(topic="trace", crop="radish", date=dt.date(2027, 6, 8))
    view = season(pages, move("sold", "2027-06-09", 8, customer="Harbour Oven"))
    lines = said(trace(view, ask), ask, 72).splitlines()
    assert lines[0].startswith("Lot 33-")
    assert lines[0].endswith("radish 20 lb from Brook 1, picked Tue 8 Jun.")
    assert lines[1] == "  Brook 1: radish Cherry Belle sown Mon 10 May"
    assert lines[3].split() == ["Wed", "9", "Jun", "sold", "Harbour", "Oven", "8", "lb"]
    assert lines[4] == "  still here: 12 lb"
    assert max(map(len, lines)) <= 72


def test_nothing_to_trace_is_said_with_the_days(pages: Any) -> None:
    ask = Ask(topic="trace", customer="The Tin Fiddle", crop="radish")
    assert said(trace(season(pages), ask), ask, 80) == (
        "No radish sold to The Tin Fiddle on record, Sat 15 May to Mon 14 Jun."
    )


def test_a_mock_recall_follows_every_lot_of_the_stretch_and_balances(pages: Any) -> None:
    view = season(
        pages,
        move("sold", "2027-06-09", 8, customer="Harbour Oven"),
        move("sold", "2027-06-11", 15.5, customer="Vale Grocers"),
        move("returned", "2027-06-12", 2, customer="Vale Grocers"),
        move("discarded", "2027-06-12", 1),
    )
    found = recall(view, Ask(topic="trace", about="recall"))
    (sum_,) = found.sums
    assert (found.lots, sum_.picked, sum_.left, sum_.unaccounted) == (2, Decimal(32), Decimal("9.5"), Decimal(0))
    assert sum_.went == {"sold": Decimal("23.5"), "returned": Decimal(2), "discarded": Decimal(1)}
    assert [(one.customer, one.lots) for one in found.customers] == [("Harbour Oven", 1), ("Vale Grocers", 2)]


def test_what_went_out_of_no_lot_is_counted_in_a_recall(pages: Any) -> None:
    found = recall(season(pages, move("sold", "2027-06-11", 40, customer="Vale Grocers")), Ask(topic="trace"))
    assert (found.unknown, found.open) == (1, ())


def test_a_code_that_is_of_no_harvest_traces_nothing(pages: Any) -> None:
    view = season(pages)
    sown = lot_code(next(fact.entry for fact in view.facts(kinds=("sown",))))
    for code in (sown, "33-333"):
        found = trace(view, Ask(topic="trace", about=code))
        assert found.lots == ()
        assert "one sign may be off" in said(found, Ask(topic="trace", about=code), 120)
