"""Words that both records and questions are made of: prices, choices, quoted stretches, kinds of record as nouns."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from assistant.wording import text
from engine.quantities import CENT

MOST_CHOICES = 6

# What a record is called where it is the thing spoken of: "sowing of radish in Brook 4".
NOUNS = {
    "plot_added": "plot", "customer_added": "customer", "crop_added": "crop", "setting": "setting", "sown": "sowing",
    "tray_sown": "tray sowing", "transplanted": "planting out", "germinated": "germination", "harvested": "harvest",
    "cleared": "clearing", "covered": "covering", "uncovered": "uncovering", "prepared": "turning over",
    "amended": "spreading", "watered": "watering", "weeded": "weeding", "thinned": "thinning", "sprayed": "spraying",
    "sighted": "sighting", "lost": "loss", "discarded": "throwing out", "given": "giving away", "sold": "sale",
    "returned": "return", "took": "takings", "bought": "purchase", "ordered": "order", "order_changed": "order change",
    "order_cancelled": "order cancellation", "priced": "price", "planned": "plan", "worked": "work",
    "weather": "weather", "cooler_reading": "cooler reading", "noted": "note",
}  # fmt: skip

# What was done, as a list of deeds has it.
DID = {
    "sown": "sowed", "tray_sown": "sowed in trays", "transplanted": "planted out", "harvested": "picked",
    "germinated": "counted germination of", "cleared": "cleared", "covered": "covered", "uncovered": "uncovered",
    "prepared": "turned over", "amended": "worked in", "watered": "watered", "weeded": "weeded", "thinned": "thinned",
    "sprayed": "sprayed", "sighted": "seen", "lost": "lost", "discarded": "thrown out", "given": "given away",
    "sold": "sold", "returned": "came back", "took": "taken", "bought": "bought", "ordered": "ordered",
    "order_changed": "order changed", "order_cancelled": "order cancelled", "priced": "priced", "planned": "planned",
    "worked": "worked", "weather": "weather logged", "cooler_reading": "cooler read", "noted": "noted",
}  # fmt: skip

# What is to be done, as a list of work has it.
TASKS = {
    "sown": "sow", "transplanted": "plant out", "harvested": "pick", "prepared": "turn over", "cleared": "clear",
    "covered": "cover", "uncovered": "uncover", "watered": "water", "weeded": "weed", "thinned": "thin",
    "sprayed": "spray", "amended": "work in", "tray_sown": "sow in trays", "sold": "deliver", "discarded": "throw out",
}  # fmt: skip

# What is meant to be done, for the kinds that a list of work has no word for.
MEANT = {
    **TASKS, "given": "give away", "bought": "buy", "worked": "work", "germinated": "count what came up",
    "sighted": "look over", "noted": "note", "cooler_reading": "read the cooler", "weather": "note the weather",
    "returned": "take back", "took": "count the takings", "ordered": "order", "priced": "set the price of",
    "amended": "feed the soil", "lost": "look for losses", "order_changed": "change the order", "setting": "set up",
    "order_cancelled": "cancel the order", "plot_added": "add a plot", "customer_added": "add a customer",
    "crop_added": "add a crop", "planned": "plan",
}  # fmt: skip

SPRAY_WORD = "Spraying: gloves, eyes covered, wind low, and the label read first."


@dataclass(frozen=True, slots=True)
class Say:
    """What wording leans on: the day it is, the farm's currency, and whether an amount is that of each bed named."""

    today: dt.date
    currency: str | None = None
    each: bool = False

    def day(self, date: dt.date) -> str:
        """The day, with its year where that is not this one."""
        return text.day(date, self.today)

    def money(self, sum_: Decimal) -> str:
        """A sum of money to the last decimal that was said: "$0.125" is not rounded to "$0.13"."""
        rounded = text.money(sum_, self.currency)
        if sum_ == sum_.quantize(CENT):
            return rounded
        return rounded.replace(text.money(abs(sum_)), f"{abs(sum_).normalize():,f}")

    def price(self, price: Decimal, unit: str | None) -> str:
        """What one unit costs: "$4.00 per lb", "$2.50 each"."""
        if unit is None:
            return f"{self.money(price)} for one"
        return f"{self.money(price)} each" if unit == "each" else f"{self.money(price)} per {unit}"


def either_of(items: Sequence[str]) -> str:
    """A list to choose from: "a", "a or b", "a, b or c"."""
    return " or ".join([", ".join(items[:-1]), items[-1]] if len(items) > 1 else items)


def choose(choices: Sequence[str]) -> str:
    """What stands at the end of a question: ": a, b or c?", of many the first six "or another?", else "?"."""
    if not choices:
        return "?"
    listed = [*choices[:MOST_CHOICES], "another"] if len(choices) > MOST_CHOICES else choices
    return f": {either_of(listed)}?"


def quoted(words: Sequence[str]) -> str:
    """Stretches of words as they were said: '"frobbed" and "the thing"'."""
    return text.names(f'"{word}"' for word in words)


def lowered(said: str) -> str:
    """The line with a small first letter, to stand within another one."""
    return said[:1].lower() + said[1:]


def amount_of(quantity: Decimal | None, unit: str | None, thing: str | None) -> str:
    """So much of something: "30 lb of radish"; "radish" or "30 lb" where only one is known, "it" where neither is."""
    if quantity is None:
        return thing or "it"
    said = text.amount(quantity, unit)
    return f"{said} of {thing}" if thing else said


def no_such_bed(bed: str) -> str:
    """Of a bed that the farm has not, by its name or its bare number ("bed 77")."""
    return f"There is no bed {bed.removeprefix('bed ')}."
