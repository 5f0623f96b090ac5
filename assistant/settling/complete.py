"""Fill what a deed leaves open, in a fixed order: said, implied by the clause, by the book, by the talk; else ask."""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections import Counter
from decimal import Decimal

from assistant.settling.deed import Deed
from assistant.settling.fill import Unclear
from assistant.settling.scene import Scene
from assistant.settling.which_beds import beds_meant, beds_with, fits
from assistant.settling.words import ALTOGETHER, ONE_DELIVERY
from engine.checks import Doubt, doubts
from engine.crops import facts
from engine.events import KINDS, Cleared, Covered, Ordered, Priced, Sighted
from engine.season_wants import how_often
from engine.state import Order, Season
from grammar.said import Days

ONLY_BEDS = frozenset(
    [
        "cleared",
        "covered",
        "uncovered",
        "prepared",
        "flipped",
        "amended",
        "watered",
        "weeded",
        "thinned",
        "sprayed",
        "sighted",
    ]
)
STANDS = frozenset(
    [
        "harvested",
        "germinated",
        "lost",
        "thinned",
        "cleared",
        "sighted",
        "sprayed",
        "watered",
        "weeded",
        "covered",
        "uncovered",
        "amended",
        "flipped",
        "prepared",
    ]
)
# Of these a record names the beds alone.
CROPLESS = frozenset(
    kind for kind in ONLY_BEDS & KINDS.keys() if all(one.name != "crop" for one in dataclasses.fields(KINDS[kind]))
)
AGAINST = frozenset(("lost", "sprayed", "covered", "cleared"))  # what is told of what was just seen in a bed
OUT_OF_COOLER = frozenset(("sold", "given", "discarded", "returned"))


def complete(deed: Deed, scene: Scene) -> Unclear | None:
    """Fill the deed from the book and the talk; what must be asked before it can be written, or None."""
    if isinstance(deed.stretch, Days) and deed.kind == "ordered" and "repeats" in deed.fields:
        deed.date, deed.fields["until"] = (
            deed.stretch.start,
            deed.stretch.end,
        )  # "every friday from june 24 till august"
        deed.stretch = False
    season = scene.season(min(deed.date or scene.today, scene.today))
    if deed.kind in ("order_changed", "order_cancelled"):
        _settle_whose(deed, scene)
        if isinstance(deed.stretch, Days):
            _settle_delivery(deed, deed.stretch, season)
    if deed.stretch:
        return Unclear("date")
    unclear = _settle_beds(deed, scene, season) or _settle_crop(deed, scene, season)
    if unclear is not None:
        return unclear
    if deed.range_to is not None:
        return Unclear("quantity", code="range", figures=(("low", deed.fields["quantity"]), ("high", deed.range_to)))
    _settle_units(deed, scene, season)
    _settle_price(deed)
    _settle_order(deed, scene, season)
    lacking = deed.lacks()
    if lacking is None:
        return None
    return Unclear(lacking, _choices(deed, lacking, scene, season))


def doubted(deed: Deed, scene: Scene) -> Doubt | None:
    """The first doubt about a complete deed that the grower has not settled yet."""
    for event in deed.events(scene.today):
        day = min(event.date, scene.today)
        now = scene.season() if event.kind in ("sown", "transplanted") and day < scene.today else None
        for doubt in doubts(event, scene.season(day), scene.today, now):
            if doubt.code not in deed.accepted and not _taken_out_just_now(doubt, deed, scene):
                return doubt
    return None


def _taken_out_just_now(doubt: Doubt, deed: Deed, scene: Scene) -> bool:
    """ "Flipped mill 6, spinach bolted": what was seen in what this line cleared."""
    cleared = {bed for event in scene.events if isinstance(event, Cleared) for bed in event.beds}
    return deed.kind == "sighted" and doubt.code == "bed_empty" and cleared >= set(deed.fields["beds"])


def _settle_beds(deed: Deed, scene: Scene, season: Season) -> Unclear | None:
    if deed.beds_said is not None:
        meant = beds_meant(deed.beds_said, scene, season, fits(deed.kind, deed.fields.get("crop")))
        if not meant.beds:
            return meant.unclear()
        plot = f"{deed.fields['plot']} " if "plot" in deed.fields and not deed.beds_said.groups else ""
        deed.fields["beds"] = tuple(bed for bed in meant.beds if bed.startswith(plot)) or meant.beds
        deed.beds_said = None
        if elsewhere := _stands_elsewhere(deed, season):
            return Unclear("beds", (*deed.fields.pop("beds"), *elsewhere))
    if deed.fields.get("beds") or deed.kind not in STANDS | ONLY_BEDS | {"sown", "transplanted"}:
        return None
    return _beds_unsaid(deed, scene, season)


def _stands_elsewhere(deed: Deed, season: Season) -> tuple[str, ...]:
    """The beds of a crop said beside another bed, where the record would not name it: "weeded mill 3, kale"."""
    crop = deed.fields.get("crop")
    if crop is None or deed.kind not in CROPLESS:
        return ()
    standing = beds_with(season, crop)
    return () if set(standing) & set(deed.fields["beds"]) else standing


def _beds_unsaid(deed: Deed, scene: Scene, season: Season) -> Unclear | None:
    """No bed was said: the one bed of the crop (in the plot said), else the beds spoken of just now in this line."""
    if deed.fields.get("pointed") and not (scene.beds or scene.memory.beds) and deed.kind in STANDS:
        deed.fields.setdefault("crop", scene.crop or scene.memory.crop)  # "how's the lettuce doing" ... "cut it"
    crop, plot = deed.fields.get("crop"), deed.fields.get("plot")
    if crop is not None and deed.kind in STANDS:
        beds = tuple(bed for bed in beds_with(season, crop) if plot is None or bed.startswith(f"{plot} "))
        if len(beds) == 1:
            deed.fields["beds"] = beds
            return None
        if scene.beds and (set(scene.beds) <= set(beds) or (deed.kind == "sighted" and not beds)):
            deed.fields["beds"] = scene.beds  # "flipped mill 6, spinach bolted"
            return None
        return Unclear("beds", beds or scene.names.beds_of(plot or ""))
    if plot is not None:
        return _one_of_the_plot(deed, season)
    if deed.fields.get("pointed"):
        beds = scene.beds or scene.memory.beds
    elif deed.kind == "uncovered" and (covered := scene.just_told(Covered)) is not None:
        beds = covered.beds  # "... took it back off"
    elif deed.kind in AGAINST and (sighted := scene.just_told(Sighted)) is not None:
        beds = sighted.beds  # "voles in the beets" ... "lost about 20%"
    else:
        beds = scene.beds if deed.kind in ONLY_BEDS else _just_opened(deed, scene)
    if beds:
        deed.fields["beds"] = beds
        return None
    return Unclear("beds")


def _one_of_the_plot(deed: Deed, season: Season) -> Unclear | None:
    """The one bed of the plot said where it could have been done."""
    suits = fits(deed.kind, deed.fields.get("crop"))
    suiting = tuple(bed for bed in deed.bed_choices if bed in season.beds and suits(season.beds[bed]))
    if len(suiting) != 1:
        return Unclear("beds", suiting or deed.bed_choices)
    deed.fields["beds"] = suiting
    return None


def _just_opened(deed: Deed, scene: Scene) -> tuple[str, ...]:
    """ "flipped it ... sowed mizuna": what is sown without a bed goes into the beds that were made ready just now."""
    last = scene.events[-1] if scene.events else scene.memory.facts[-1].event if scene.memory.facts else None
    if (
        deed.kind not in ("sown", "transplanted")
        or last is None
        or last.kind not in ("prepared", "cleared", "uncovered", "amended")
    ):
        return ()
    beds: tuple[str, ...] = last.beds  # type: ignore[attr-defined]
    return beds


def _settle_crop(deed: Deed, scene: Scene, season: Season) -> Unclear | None:
    """The crop that stands in the beds, or that was spoken of just now."""
    if deed.fields.get("crop") is not None:
        return None
    if deed.kind == "harvested":
        beds = [season.beds[bed] for bed in deed.fields["beds"] if bed in season.beds]
        standing = tuple(dict.fromkeys(one.crop for bed in beds for one in bed.plantings))
        if len(standing) == 1:
            deed.fields["crop"] = standing[0]
            return None
        return Unclear("crop", standing)
    if (deed.kind in OUT_OF_COOLER and (scene.crop or _just_handled(scene) or "pointed" in deed.fields)) or (
        deed.kind in ("sown", "transplanted", "ordered", "tray_sown") and deed.fields.get("pointed")
    ):
        deed.fields["crop"] = scene.crop or scene.memory.crop
    elif deed.kind == "ordered" and (order := scene.just_told(Ordered)) is not None:
        deed.fields["crop"] = order.crop  # "... and she wants 6 on saturday"
        deed.fields.setdefault("unit", order.unit) if "quantity" in deed.fields else None
    elif deed.kind == "priced":
        _settle_priced(deed, scene)
    elif deed.kind in OUT_OF_COOLER and deed.fields.get("beds"):
        crops = {lot.crop for lot in season.lots if set(lot.beds) & set(deed.fields["beds"])}
        if len(crops) == 1:
            deed.fields["crop"] = crops.pop()
    return None


def _settle_priced(deed: Deed, scene: Scene) -> None:
    """ "... and nadia pays two", "let it be $3": the crop whose price was told last, or asked."""
    in_line = next((event for event in reversed(scene.events) if isinstance(event, Priced)), None)
    told, asked = in_line or scene.just_told(Priced), scene.memory.ask
    if told is not None:
        deed.fields["crop"] = told.crop
        deed.fields.setdefault("price_per", told.unit)
    elif asked is not None and asked.topic == "price" and asked.crop is not None:
        deed.fields["crop"] = asked.crop


def _just_handled(scene: Scene) -> bool:
    """Whether the line before was about a crop that came in or went out, so that "sold 8 to ..." goes on with it."""
    kinds = {fact.event.kind for fact in scene.memory.facts}
    return scene.memory.crop is not None and bool(kinds & {"harvested", "sold", "given", "discarded", "returned"})


def _settle_units(deed: Deed, scene: Scene, season: Season) -> None:
    if deed.kind == "weather" and {"high", "low"} & deed.fields.keys():
        deed.fields.setdefault("unit", season.settings.get("temperature_unit"))
    if deed.kind == "weather" and "rain" in deed.fields:
        deed.fields.setdefault("rain_unit", season.settings.get("rain_unit"))
    if deed.kind == "cooler_reading":
        deed.fields.setdefault("unit", season.settings.get("temperature_unit"))
    if deed.kind == "priced" and "unit" not in deed.fields:
        deed.fields["unit"] = deed.fields.get("price_per")
    if deed.kind in OUT_OF_COOLER and "quantity" in deed.fields and "unit" not in deed.fields:
        units = {lot.unit for lot in season.lots if lot.crop == deed.fields.get("crop") and lot.left > 0}
        deed.fields["unit"] = units.pop() if len(units) == 1 else None
    if deed.kind == "transplanted":
        deed.fields.pop("unit", None)
    for name in ("unit", "rain_unit"):
        if deed.fields.get(name, "") is None:
            del deed.fields[name]


def usual_units(season: Season, crop: str | None) -> tuple[str, ...]:
    """The units in which a crop went in or out so far, the most used first."""
    tally = season.tallies.get(crop or "")
    counted = Counter({unit: 0 for _, unit in tally.moved}) if tally else Counter()
    for way, unit in tally.moved if tally else ():
        counted[unit] += way == "picked"
    return tuple(unit for unit, _ in counted.most_common())


def _settle_price(deed: Deed) -> None:
    """ "for $40" is what all of it cost; the record keeps the price of one unit, if that is exact to the cent."""
    total = deed.fields.pop("total", None)
    quantity = deed.fields.get("quantity")
    if total is None or not quantity:
        return
    price = (total / quantity).quantize(Decimal("0.0001"))
    if price * quantity == total:
        deed.fields["price"] = price.normalize() if price != price.to_integral() else price.to_integral()
    else:
        deed.fields["price"] = total / quantity


def _settle_order(deed: Deed, scene: Scene, season: Season) -> None:
    """A standing order begins on its weekday. A change means the one order that customer and crop leave, on its coming
    delivery if no day was said; "cancel the kale" ends it, "skip the kale" leaves one delivery out."""
    weekdays = deed.fields.pop("weekdays", ())
    if deed.kind == "ordered" and weekdays and deed.date is not None:
        start = max(deed.date, scene.today)
        deed.date = start + dt.timedelta(days=(weekdays[0] - start.weekday()) % 7)
    if deed.kind not in ("order_changed", "order_cancelled"):
        return
    meant = _orders_meant(deed, season)
    if len({(order.customer, order.crop) for order in meant}) == 1:
        deed.fields["crop"], deed.fields["customer"] = meant[0].crop, meant[0].customer
        deed.fields.setdefault("unit", meant[0].unit) if "quantity" in deed.fields else None
        if deed.kind == "order_cancelled" and meant[0].every_days and _ends_it(deed):
            deed.fields.setdefault("repeats", how_often(meant[0].every_days))
        if deed.date is None:
            coming = meant[0].days(scene.today, scene.today + dt.timedelta(days=365))
            deed.date = coming[0] if coming else meant[0].date


def _ends_it(deed: Deed) -> bool:
    """Whether a standing order is cancelled and not one delivery: it is said so, or no delivery is named or skipped."""
    return bool(ALTOGETHER.search(deed.said) or (deed.date is None and not ONE_DELIVERY.search(deed.said)))


def _settle_whose(deed: Deed, scene: Scene) -> None:
    """No crop was said: that of the order just told of, if it is the customer's."""
    order = scene.just_told(Ordered)
    if order is not None and "crop" not in deed.fields and deed.fields.get("customer") in (None, order.customer):
        deed.fields |= {"crop": order.crop, "customer": order.customer}


def _settle_delivery(deed: Deed, days: Days, season: Season) -> None:
    """ "Skip the co-op next week": the one delivery of that week."""
    coming = [day for order in _orders_meant(deed, season) for day in order.days(days.start, days.end)]
    if len(coming) == 1:
        deed.date, deed.stretch = coming[0], False


def _orders_meant(deed: Deed, season: Season) -> list[Order]:
    customer, crop = deed.fields.get("customer"), deed.fields.get("crop")
    return [
        order for order in season.orders
        if customer in (None, order.customer) and crop in (None, order.crop)
    ]  # fmt: skip


def _choices(deed: Deed, name: str, scene: Scene, season: Season) -> tuple[str, ...]:
    crop = deed.fields.get("crop")
    if name == "unit":
        if deed.kind in ("weather", "cooler_reading"):
            return ("F", "C")
        return units_of(season, crop)
    if name == "crop":
        if deed.kind in OUT_OF_COOLER:
            return tuple(dict.fromkeys(lot.crop for lot in season.lots if lot.left > 0))
        return tuple(scene.names.crops)
    if name == "customer":
        return tuple(scene.names.customers)
    return ()


def units_of(season: Season, crop: str | None) -> tuple[str, ...]:
    """The units in which a crop is told here, the likeliest first."""
    return usual_units(season, crop) or _published_units(season, crop)


def _published_units(season: Season, crop: str | None) -> tuple[str, ...]:
    if crop is None:
        return ("lb", "bunch", "head")
    units = [figure.unit for _, figure in facts(season, crop).yields]
    return tuple(dict.fromkeys([*units, "lb", "bunch"]))
