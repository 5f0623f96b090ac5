"""What a deed says only together with what was told just before: "they returned 3 lb", "all of it to the co-op"."""

from __future__ import annotations

import datetime as dt
from typing import Any

from assistant.settling.complete import units_of
from assistant.settling.deed import Deed
from assistant.settling.scene import Scene
from assistant.settling.words import WHOLE, weekday_in
from engine.events import Event, Harvested, Sold

GOODS = ("crop", "quantity", "unit")
OF_A_CROP = frozenset(("seed", "seeds", "starts", "plugs"))


def imply(deed: Deed, customer_said: str, scene: Scene, last: Event | None) -> None:
    """Lay into the deed what it leaves to what was said before; `last` is the event before it in the line."""
    match deed.kind:
        case "took" if deed.date is None:
            deed.date = _market_day(customer_said, scene.today)
        case "bought" if "crop" in deed.fields and deed.fields.get("item") in OF_A_CROP:
            deed.fields["item"] = f"{deed.fields.pop('crop')} {deed.fields['item']}"
        case "harvested" if isinstance(last, Harvested) and "quantity" in deed.fields and "unit" not in deed.fields:
            _carry_unit(deed, last, scene)
        case "sold" if "quantity" not in deed.fields and WHOLE.search(deed.said):
            deed.fields |= _picked(deed, last or scene.just_told(Harvested))
        case "returned" if "customer" not in deed.fields:
            deed.fields |= _buyer(deed, scene)
        case "discarded" | "given" if "pointed" in deed.fields and "quantity" not in deed.fields:
            deed.fields |= _all_of_that(scene, last)


def _market_day(said: str, today: dt.date) -> dt.date | None:
    """ "sat market 388": the takings of a market called by its weekday are of the last such day."""
    weekday = weekday_in(said)
    return None if weekday is None else today - dt.timedelta(days=(today.weekday() - weekday) % 7)


def _carry_unit(deed: Deed, last: Harvested, scene: Scene) -> None:
    """ "pulled radish eleven pounds and cut arugula seven": pounds too, where the crop is told in pounds above all."""
    if last.unit is not None and units_of(scene.season(), deed.fields.get("crop"))[:1] == (last.unit,):
        deed.fields["unit"] = last.unit


def _picked(deed: Deed, last: Event | None) -> dict[str, Any]:
    """ "... and sent all of it to the co-op": as much as was picked just before."""
    if not isinstance(last, Harvested) or deed.fields.get("crop") not in (None, last.crop):
        return {}
    return goods(last)


def _buyer(deed: Deed, scene: Scene) -> dict[str, Any]:
    """ "... 4 of them came back": from the customer of the sale just told of."""
    sales = [fact.event for fact in scene.memory.facts if isinstance(fact.event, Sold)]
    buyers = {sale.customer for sale in sales if deed.fields.get("crop") in (None, sale.crop)} - {None}
    return {"customer": buyers.pop()} if len(buyers) == 1 else {}


def _all_of_that(scene: Scene, last: Event | None) -> dict[str, Any]:
    """ "they returned 3 lb", "I threw that away": as much as the record just told of."""
    events = [last] if last is not None else [fact.event for fact in scene.memory.facts]
    return goods(events[0]) if len(events) == 1 and events[0].kind in ("returned", "harvested") else {}


def goods(event: Event) -> dict[str, Any]:
    """What of a crop a record is about, as far as it says."""
    return {name: value for name in GOODS if (value := getattr(event, name, None)) is not None}
