"""A settled question: its topic and whatever narrows it, ready for the engine to answer."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal

TOPICS = (
    "free_beds", "beds_now", "can_sell", "to_harvest", "in_cooler", "recap", "last_time", "ahead", "to_sow", "sow_by",
    "ready_when", "fill_bed", "cut_again", "bed_story", "crop_story", "orders", "to_do", "money", "price",
    "seed_needed", "safe_to_harvest", "trace", "papers", "too_hot", "why", "help",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Ask:
    """What was asked. A single day is `date`; a stretch is `start` and `end`, both included.

    `of` is a kind of record (for recap and last_time); `state` is one of covered, growing, open, ready;
    `by` is the day a bed should bring something; `plan` is set where the whole farm is to be planned, and else None;
    lengths are in feet. `what` is a paper, `file` the name that it is to have, `replace` whether it may take the place
    of another file. `temperature` (in `unit`) and `humidity` are those of the air.
    """

    topic: str
    date: dt.date | None = None
    start: dt.date | None = None
    end: dt.date | None = None
    crop: str | None = None
    customer: str | None = None
    plot: str | None = None
    beds: tuple[str, ...] | None = None
    quantity: Decimal | None = None
    unit: str | None = None
    of: str | None = None
    state: str | None = None
    by: dt.date | None = None
    length_ft: Decimal | None = None
    about: str | None = None
    what: str | None = None
    file: str | None = None
    replace: bool | None = None
    temperature: Decimal | None = None
    humidity: Decimal | None = None
    plan: bool | None = None

    def days(self, today: dt.date, span: int = 1) -> tuple[dt.date, dt.date]:
        """First and last day asked about, both included; `span` days from today if none was said."""
        if self.start and self.end:
            return self.start, self.end
        if self.date:
            return self.date, self.date
        return today, today + dt.timedelta(days=span - 1)
