"""Events of a small invented farm, for properties: any kind, any order, sense not promised."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal

from hypothesis import strategies as st

from engine.events import (
    Amended,
    Bought,
    Cleared,
    CoolerReading,
    Covered,
    CropAdded,
    CustomerAdded,
    Discarded,
    Event,
    Germinated,
    Given,
    Harvested,
    Lost,
    Noted,
    OrderCancelled,
    OrderChanged,
    Ordered,
    Planned,
    PlotAdded,
    Prepared,
    Priced,
    Returned,
    Setting,
    Sighted,
    Sold,
    Sown,
    Sprayed,
    Thinned,
    Took,
    Transplanted,
    TraySown,
    Uncovered,
    Watered,
    Weather,
    Weeded,
    Worked,
)

FIRST = dt.date(2027, 3, 1)
BEDS = tuple(f"Brook {number}" for number in range(1, 6))
FARM = PlotAdded(date=FIRST, plot="Brook", beds=BEDS, length_ft=Decimal(50), width_in=Decimal(30))

near = st.integers(0, 120).map(lambda days: FIRST + dt.timedelta(days))
years_away = st.integers(0, 3000).map(lambda days: FIRST + dt.timedelta(days))
days = st.one_of(near, near, near, years_away)
crops = st.sampled_from(["radish", "arugula", "carrot"])
beds = st.lists(st.sampled_from(BEDS), min_size=1, max_size=3, unique=True).map(tuple)
amounts = st.decimals(Decimal("0.01"), Decimal(90), places=2)
units = st.sampled_from(["lb", "kg", "oz", "bunch", "tote"])
customers = st.sampled_from(["Harbour Oven", "The Tin Fiddle", None])
repeats = st.sampled_from([None, None, "weekly", "every two weeks", "daily"])
percents = st.decimals(0, 100, places=0)
tasks = st.sampled_from(["harvested", "prepared", "sown", "mend the fence"])
perhaps_crop = st.one_of(st.none(), crops)
weights = st.builds(
    lambda date, crop, unit, of: Setting(
        date=date, name="weight", crop=crop, value={"unit": unit, "quantity": of, "in": "lb"}
    ),
    days, perhaps_crop, st.sampled_from(["tote", "bunch"]), st.sampled_from(["20", "22.5", "0.25"]),
)  # fmt: skip

NAMING: st.SearchStrategy[Event] = st.one_of(
    weights,
    st.builds(PlotAdded, date=days, plot=st.sampled_from(["Brook", "Gate"]),
              beds=st.sampled_from([BEDS, BEDS[:2], ("Gate 1", "Gate 2")]),
              length_ft=st.sampled_from([None, Decimal(50), Decimal(100), Decimal(33)])),
    st.builds(CustomerAdded, date=days, customer=st.sampled_from(["Harbour Oven", "The Tin Fiddle", "Vale Grocers"])),
    st.builds(CropAdded, date=days, crop=crops, days=st.integers(20, 70), cuts=st.one_of(st.none(), st.integers(1, 4))),
    st.builds(Setting, date=days, name=st.sampled_from(["currency", "cooler"]), value=st.sampled_from(["EUR", "none"])),
)  # fmt: skip
GROWING: st.SearchStrategy[Event] = st.one_of(
    st.builds(Sown, date=days, crop=crops, beds=beds, variety=st.sampled_from([None, "Early Red"])),
    st.builds(TraySown, date=days, crop=crops, trays=st.one_of(st.none(), amounts), cells=st.sampled_from([None, 72])),
    st.builds(Transplanted, date=days, crop=crops, beds=beds, quantity=st.one_of(st.none(), amounts)),
    st.builds(Germinated, date=days, beds=beds, percent=percents),
    st.builds(Lost, date=days, beds=beds, crop=perhaps_crop, percent=st.one_of(st.none(), percents)),
    st.builds(Sighted, date=days, beds=beds, what=st.just("flowers")),
    st.builds(Cleared, date=days, beds=beds, crop=perhaps_crop),
    st.builds(Covered, date=days, beds=beds, material=st.just("tarp")),
    st.builds(Uncovered, date=days, beds=beds),
    st.builds(Prepared, date=days, beds=beds),
    st.builds(Amended, date=days, beds=beds, material=st.just("compost"), quantity=amounts, unit=st.just("bucket")),
    st.builds(
        Sprayed,
        date=days,
        beds=beds,
        material=st.just("soap"),
        harvest_wait_days=st.just(Decimal(2)),
        entry_wait_hours=st.just(Decimal(4)),
        finished=st.none() | st.just("07:30"),
    ),
    st.builds(Watered, date=days, beds=beds),
    st.builds(Weeded, date=days, beds=beds),
    st.builds(Thinned, date=days, beds=beds),
)
PICKED: st.SearchStrategy[Event] = st.builds(
    Harvested, date=days, crop=crops, beds=beds, quantity=st.one_of(st.none(), amounts), unit=units,
    last=st.sampled_from([None, None, True]),
)  # fmt: skip
MOVED: st.SearchStrategy[Event] = st.one_of(
    PICKED,
    PICKED,
    st.builds(Sold, date=days, crop=crops, quantity=amounts, unit=units, customer=customers),
    st.builds(Sold, date=days, crop=crops, quantity=amounts, unit=units, customer=customers),
    st.builds(Given, date=days, crop=crops, quantity=amounts, unit=units),
    st.builds(Discarded, date=days, crop=crops, quantity=amounts, unit=units),
    st.builds(Returned, date=days, crop=crops, quantity=amounts, unit=units, customer=customers),
)
WANTED: st.SearchStrategy[Event] = st.one_of(
    st.builds(Ordered, date=days, crop=crops, quantity=amounts, unit=units, customer=customers, repeats=repeats,
              until=st.one_of(st.none(), years_away)),
    st.builds(OrderChanged, date=days, crop=crops, customer=customers, quantity=st.one_of(st.none(), amounts),
              moved_to=st.one_of(st.none(), days), repeats=repeats),
    st.builds(OrderCancelled, date=days, crop=crops, customer=customers, repeats=repeats),
    st.builds(Priced, date=days, crop=crops, price=amounts, unit=units, customer=customers),
    st.builds(Planned, date=days, task=tasks, beds=st.one_of(st.none(), beds), crop=perhaps_crop),
)  # fmt: skip
OTHER: st.SearchStrategy[Event] = st.one_of(
    st.builds(Worked, date=days, hours=amounts, who=st.sampled_from([None, "Ines", "Tomas"])),
    st.builds(Weather, date=days, high=percents, unit=st.just("C")),
    st.builds(CoolerReading, date=days, temperature=percents, unit=st.just("C")),
    st.builds(Noted, date=days, text=st.text(max_size=20)),
    st.builds(Took, date=days, amount=amounts),
    st.builds(Bought, date=days, item=st.just("twine")),
)
DEEDS = st.one_of(GROWING, MOVED, WANTED, OTHER)
ANY = st.one_of(GROWING, MOVED, WANTED, OTHER, NAMING)
