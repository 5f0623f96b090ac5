"""A doubt about a record as one question with its reason. What cannot be is asked for anew; else a yes keeps it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence

from assistant.wording import text
from assistant.wording.changes import label
from assistant.wording.farm_lines import SETTINGS
from assistant.wording.words import DID, NOUNS, Say, amount_of, choose, either_of, no_such_bed
from assistant.wording.work_lines import degrees
from engine.checks import Doubt
from engine.events import Event

MAY_ASK_MORE = "The label, local rules, buyers and certifiers may ask for more."


def doubt(doubt: Doubt, event: Event, today: dt.date, currency: str | None = None) -> str:
    """The question that a doubt about the record comes to."""
    return DOUBTS[doubt.code](doubt, event, Say(today, currency))


def _or_yes(wanted: str, choices: Sequence[str] = ()) -> str:
    """How to answer a doubt that a yes settles."""
    listed = f" ({either_of(choices[:6])})" if choices else ""
    return f'Is that right? Say "yes", or {wanted}{listed}.'


def _it(event: Event) -> str:
    thing = getattr(event, "crop", None) or getattr(event, "item", None)
    return amount_of(getattr(event, "quantity", None), getattr(event, "unit", None), thing)


def _noun(event: Event) -> str:
    crop = getattr(event, "crop", None)
    return f"{NOUNS[event.kind]} of {crop}" if crop else NOUNS[event.kind]


def _standing(crop: str | None, beds: Sequence[str]) -> str:
    return f" {text.capital(crop)} stands in {text.beds(beds)}." if crop and beds else ""


def _in_the_future(doubt: Doubt, event: Event, say: Say) -> str:
    return f"{say.day(doubt.figure('date'))} is still to come. Which day was the {_noun(event)}?"


def _long_ago(doubt: Doubt, event: Event, say: Say) -> str:
    said: dt.date = doubt.figure("date")
    return f"{say.day(said)} is {text.from_today(said, say.today)}. {_or_yes('the right day')}"


def _far_away(doubt: Doubt, event: Event, say: Say) -> str:
    return f"{say.day(doubt.figure('date'))} is more than a year off. {_or_yes('the right day')}"


def _not_positive(doubt: Doubt, event: Event, say: Say) -> str:
    value = text.figure(doubt.figure("value"))
    return f"{value} cannot be the {label(doubt.figure('field'))}: it has to be more than nothing. What is it?"


def _negative(doubt: Doubt, event: Event, say: Say) -> str:
    value = text.figure(doubt.figure("value"))
    return f"{value} cannot be the {label(doubt.figure('field'))}: it is less than nothing. What is it?"


def _over_100_percent(doubt: Doubt, event: Event, say: Say) -> str:
    return f"{text.figure(doubt.figure('percent'))}% is more than all of it. How many percent was it?"


def _price_absurd(doubt: Doubt, event: Event, say: Say) -> str:
    price = say.price(doubt.figure("price"), getattr(event, "unit", None))
    crop = getattr(event, "crop", None)
    dear = f"{price} is far more than {crop or 'produce'} costs (over {say.money(doubt.figure('most'))})."
    return f"{dear} {_or_yes('the right price')}"


def _bed_unknown(doubt: Doubt, event: Event, say: Say) -> str:
    return f"{no_such_bed(doubt.figure('bed'))} Which bed do you mean{choose(doubt.choices)}"


def _bed_empty(doubt: Doubt, event: Event, say: Say) -> str:
    crop = doubt.figure("crop")
    empty = f"By the book {doubt.figure('bed')} has no {crop or 'crop'} in it, nor anything else."
    return f"{empty}{_standing(crop, doubt.choices)} {_or_yes('the right bed')}"


def _crop_not_in_bed(doubt: Doubt, event: Event, say: Say) -> str:
    crop = doubt.figure("crop")
    there = f"By the book {doubt.figure('bed')} holds {text.names(doubt.choices)}, not {crop}."
    elsewhere = _standing(crop, doubt.figure("beds") or ())
    return f"{there}{elsewhere} {_or_yes('the right crop or bed')}"


def _bed_planted(doubt: Doubt, event: Event, say: Say) -> str:
    crops, since = text.names(doubt.figure("crops")), say.day(doubt.figure("since"))
    there = f"By the book {doubt.figure('bed')} still holds {crops}, in since {since}."
    return f"{there} Does {_it(event)} go in as well? (yes or no)"


def _over_since(doubt: Doubt, event: Event, say: Say) -> str:
    bed, crop = doubt.figure("bed"), doubt.figure("crop")
    since = f"{bed} was opened or planted again on {say.day(doubt.figure('since'))}"
    return f"{since}, so this {crop} would be over by now. {_or_yes('the right day')}"


def _picked_when_sown(doubt: Doubt, event: Event, say: Say) -> str:
    same = f"{text.capital(doubt.figure('crop'))} in {doubt.figure('bed')} was sown on that same day, "
    return f"{same}{say.day(doubt.figure('sown'))}. {_or_yes('the day it was picked')}"


def _waiting_time(doubt: Doubt, event: Event, say: Say) -> str:
    until = doubt.figure("until")
    hour = f" {doubt.figure('hour')}:00" if doubt.figure("hour") else ""
    ends = f"its waiting time ends {say.day(until)}{hour}" if until else "how long to wait by its label was not said"
    wait = f"{doubt.figure('bed')} had {doubt.figure('material')} on {say.day(doubt.figure('since'))}; {ends}"
    return f"{wait} ({doubt.figure('why')}). {MAY_ASK_MORE} Was it {DID[event.kind]} all the same? (yes or no)"


def _far_more(doubt: Doubt, event: Event, say: Say) -> str:
    beds = doubt.figure("beds")
    said = f"{text.amount(doubt.figure('quantity'), doubt.figure('unit'))} of {doubt.figure('crop')}"
    bring = "such a bed can bring" if len(beds) == 1 else "such beds can bring"
    most = text.amount(doubt.figure("most"), doubt.figure("unit"))
    return f'{said} from {text.beds(beds)} is far more than the {most} {bring}. How much was it? ("yes" keeps it)'


def _more_than_was_picked(doubt: Doubt, event: Event, say: Say) -> str:
    there, unit, crop = doubt.figure("there"), doubt.figure("unit"), doubt.figure("crop")
    held = f"only {text.amount(there, unit)} of {crop}" if there else f"no {crop}"
    out = text.amount(doubt.figure("quantity"), unit)
    return f"By the book there is {held} to go out. Was {out} {DID[event.kind]}? (yes or no)"


def _lot_holds_less(doubt: Doubt, event: Event, say: Say) -> str:
    there, unit, crop = doubt.figure("there"), doubt.figure("unit"), doubt.figure("crop")
    held = f"only {text.amount(there, unit)} of {crop}" if there else f"no {crop}"
    return f"By the book lot {doubt.figure('lot')} has {held} in it. Was it taken from there? (yes or no)"


def _customer_unknown(doubt: Doubt, event: Event, say: Say) -> str:
    name = doubt.figure("customer")
    return f"{name} is no customer on record. {_or_yes('the customer you mean', doubt.choices)}"


def _repeats_unclear(doubt: Doubt, event: Event, say: Say) -> str:
    return f'"{doubt.figure("repeats")}" does not say how often. How often: every day, every week or every two weeks?'


def _ends_before_it_starts(doubt: Doubt, event: Event, say: Say) -> str:
    until, date = say.day(doubt.figure("until")), say.day(doubt.figure("date"))
    return f"The order would end on {until}, before it starts on {date}. Until which day is it wanted?"


def _no_such_order(doubt: Doubt, event: Event, say: Say) -> str:
    customer, day = doubt.figure("customer"), say.day(doubt.figure("date"))
    whose = f" for {customer}" if customer else ""
    none = f"There is no order of {doubt.figure('crop')}{whose} for {day} or later."
    return f"{none} Whose order do you mean{choose(doubt.choices)}"


def _wait_absurd(doubt: Doubt, event: Event, say: Say) -> str:
    days = doubt.figure("field") == "harvest_wait_days"
    wait = f"{text.plural(doubt.figure('value'), 'day' if days else 'hour')} to {'harvest' if days else 'going in'}"
    return f"{wait} is longer than labels ask for. {_or_yes('what the label says')}"


def _watering_absurd(doubt: Doubt, event: Event, say: Say) -> str:
    hours = text.plural(doubt.figure("minutes") / 60, "hour")
    return f"{hours} is a long time to water. {_or_yes('how many minutes it was')}"


def _far_more_plants(doubt: Doubt, event: Event, say: Say) -> str:
    plants, most = text.figure(doubt.figure("quantity")), text.figure(doubt.figure("most"))
    where = text.beds(doubt.figure("beds"))
    return f"{plants} plants is far more than the {most} that {where} can hold. How many were there?"


def _hours_absurd(doubt: Doubt, event: Event, say: Say) -> str:
    hours = text.plural(doubt.figure("hours"), "hour")
    if doubt.firm:
        return f"{hours} is more than one day has. How many hours did {getattr(event, 'who', 'they')} work?"
    return f"{hours} in one day is more than a whole crew works. {_or_yes('the right hours')}"


def _temperature_impossible(doubt: Doubt, event: Event, say: Say) -> str:
    field, unit = doubt.figure("field"), doubt.figure("unit")
    if field:
        outdoors = degrees(doubt.figure("value"), unit)
        return f"A {field} of {outdoors} is beyond any on record anywhere. What was the {field}?"
    inside = degrees(doubt.figure("temperature"), unit)
    return f"{inside} can hardly be a cooler's temperature. {_or_yes('the right reading')}"


def _high_below_low(doubt: Doubt, event: Event, say: Say) -> str:
    high, low = text.figure(doubt.figure("high")), text.figure(doubt.figure("low"))
    return f"A high of {high} is below the low of {low}. What were the high and the low?"


def _not_twelve_months(doubt: Doubt, event: Event, say: Say) -> str:
    count, side = text.plural(doubt.figure("count"), "figure"), doubt.figure("field")
    return f"That is {count}, and a year has 12 months. What are the average {side}s, January first?"


def _month_low_above_high(doubt: Doubt, event: Event, say: Say) -> str:
    month = text.capital(doubt.figure("month"))
    return f"{month}'s average low would be above its high. {_or_yes('all twelve again')}"


def _rain_impossible(doubt: Doubt, event: Event, say: Say) -> str:
    rain = f"{text.figure(doubt.figure('rain'))} {doubt.figure('unit') or ''}".rstrip()
    return f"{rain} of rain is more than ever fell in one day anywhere. How much was it?"


def _figure_impossible(doubt: Doubt, event: Event, say: Say) -> str:
    field, crop = doubt.figure("field"), text.capital(doubt.figure("crop"))
    what = SETTINGS.get(field, field.replace("_", " "))
    return f"{crop}, {what}: {doubt.figure('reason')}, so that cannot be meant. What is it?"


def _yield_absurd(doubt: Doubt, event: Event, say: Say) -> str:
    said, most = (text.amount(doubt.figure(name), doubt.figure("unit")) for name in ("value", "most"))
    what = SETTINGS[doubt.figure("field")]
    return f"{said} as {doubt.figure('crop')}'s {what} is far more than the {most} known of it. {_or_yes('what it is')}"


DOUBTS: dict[str, Callable[[Doubt, Event, Say], str]] = {
    "in_the_future": _in_the_future, "long_ago": _long_ago, "far_away": _far_away, "not_positive": _not_positive,
    "negative": _negative, "over_100_percent": _over_100_percent, "price_absurd": _price_absurd,
    "bed_unknown": _bed_unknown, "bed_empty": _bed_empty, "crop_not_in_bed": _crop_not_in_bed,
    "bed_planted": _bed_planted, "over_since": _over_since, "picked_when_sown": _picked_when_sown,
    "waiting_time": _waiting_time, "far_more_than_a_bed_yields": _far_more,
    "more_than_was_picked": _more_than_was_picked, "lot_holds_less": _lot_holds_less,
    "customer_unknown": _customer_unknown,
    "repeats_unclear": _repeats_unclear, "ends_before_it_starts": _ends_before_it_starts,
    "no_such_order": _no_such_order, "wait_absurd": _wait_absurd, "hours_absurd": _hours_absurd,
    "temperature_impossible": _temperature_impossible, "high_below_low": _high_below_low,
    "not_twelve_months": _not_twelve_months, "month_low_above_high": _month_low_above_high,
    "rain_impossible": _rain_impossible, "watering_absurd": _watering_absurd,
    "far_more_than_a_bed_holds": _far_more_plants, "figure_impossible": _figure_impossible,
    "yield_absurd": _yield_absurd,
}  # fmt: skip
