"""The cold chain as text: what a temperature does to what is in the cooler, and how long it was not read."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from assistant.wording import text
from assistant.wording.work_lines import degrees
from engine.cold import ColdChain, Trouble
from engine.events import CoolerReading
from engine.heat import in_fahrenheit

DOES = {
    "freezes": "Cold enough to freeze", "may_freeze": "Cold enough to freeze lettuce, so look at",
    "chills": "Too cold, it chills", "warm": "Warmer than is good for",
}  # fmt: skip
LIMITS = {"freezes": "freezes at", "chills": "not below"}


def trouble_line(troubles: Sequence[Trouble]) -> str:
    """The crops that a temperature is wrong for, by what it does, each with its limit."""
    return " ".join(_line(does, found) for does in DOES if (found := [one for one in troubles if one.does == does]))


def _line(does: str, troubles: Sequence[Trouble]) -> str:
    limit = LIMITS.get(does)
    crops = text.names(f"{one.crop} ({limit} {_both(one)})" if limit else one.crop for one in troubles)
    return f"{DOES[does]} {crops}."


def _both(trouble: Trouble) -> str:
    fahrenheit = in_fahrenheit(trouble.limit).quantize(Decimal("0.1"))
    return f"{text.figure(fahrenheit)} F, {text.figure(trouble.limit)} C"


def gap(before: CoolerReading, reading: CoolerReading) -> str:
    """Days without a reading, said where one is logged again."""
    days = (reading.date - before.date).days - 1
    return (
        f"No reading of the cooler is on record for {text.plural(days, 'day')} before, since {text.day(before.date)}."
    )


def cold_chain(chain: ColdChain) -> list[str]:
    """The last reading, what it does to what is here, and whether it is too long ago."""
    if chain.read is None or chain.temperature is None:
        return []
    lines = [trouble_line(chain.troubles)] if chain.troubles else []
    if chain.unread:
        read = f"{degrees(chain.temperature, chain.unit)} on {text.day(chain.read)}"
        lines.append(f"The cooler was last read {text.plural(chain.unread, 'day')} ago: {read}.")
    return lines
