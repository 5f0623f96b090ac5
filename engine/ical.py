"""Deliveries, sowings due, plans and turn-over visits as an iCalendar file (RFC 5545): one whole-day event each.

The same book gives the same file on the same day, and each event keeps its UID, so that importing again replaces.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from engine.asks import Ask
from engine.orders import Delivery, deliveries
from engine.placing import Sowing
from engine.sow_list import to_sow
from engine.view import View
from engine.work import Planned, Trip, to_do

FOLD_OCTETS = 75  # RFC 5545, section 3.1
PRODUCT = "-//Rowcall//Farm work//EN"


@dataclass(frozen=True, slots=True)
class DayEvent:
    """A whole-day event: a UID that stays the same, its day, one line of summary and perhaps more in words."""

    uid: str
    day: dt.date
    summary: str
    description: str = ""


def work_calendar(view: View, start: dt.date, end: dt.date) -> str:
    """The deliveries, sowings, plans and visits of the days (both included) as iCalendar text."""
    work = to_do(view, Ask(topic="to_do", start=start, end=end))
    events = [_delivery(each) for each in deliveries(view, start, end)]
    sowings = to_sow(view, Ask(topic="to_sow", start=start, end=end)).sowings
    events += [_sowing(each) for each in sowings if start <= each.seed_day <= end]
    events += [_plan(each) for each in work.plans if start <= each.date <= end]
    events += [_trip(each) for each in work.trips if start <= each.by <= end]
    return calendar_text(events, view.today)


def _delivery(each: Delivery) -> DayEvent:
    customer = each.customer or "no customer named"
    uid = f"delivery-{each.entry}-{each.date:%Y%m%d}@rowcall"
    kind = "standing order" if each.standing else "order"
    return DayEvent(uid, each.date, f"{customer}: {each.quantity:f} {each.unit} {each.crop}", kind)


def _sowing(each: Sowing) -> DayEvent:
    uid = f"sowing-{each.crop.replace(' ', '-')}-{each.seed_day:%Y%m%d}@rowcall"
    where = f" in {', '.join(each.beds)}" if each.beds else ""
    ready = f"for {each.quantity:f} {each.unit}, ready about {each.ready.isoformat()}"
    return DayEvent(uid, each.seed_day, f"Sow {each.crop}{where}", ready)


def _plan(each: Planned) -> DayEvent:
    words = [each.task, each.crop or "", ", ".join(each.beds), f"({each.who})" if each.who else ""]
    return DayEvent(f"plan-{each.entry}@rowcall", each.date, " ".join(word for word in words if word))


def _trip(each: Trip) -> DayEvent:
    uid = f"visit-{each.plot.replace(' ', '-')}-{each.by:%Y%m%d}@rowcall"
    return DayEvent(uid, each.by, f"Turn over in {each.plot}: {', '.join(each.beds)}", "the last day that does for all")


def calendar_text(events: Iterable[DayEvent], stamp: dt.date) -> str:
    """The events as RFC 5545 text; `stamp` is the day the file was made."""
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", f"PRODID:{PRODUCT}", "CALSCALE:GREGORIAN"]
    for event in events:
        lines += _lines(event, stamp)
    return "".join(f"{part}\r\n" for line in [*lines, "END:VCALENDAR"] for part in folded(line))


def _lines(event: DayEvent, stamp: dt.date) -> list[str]:
    lines = [
        "BEGIN:VEVENT",
        f"UID:{escaped(event.uid)}",
        f"DTSTAMP:{stamp:%Y%m%d}T000000Z",
        f"DTSTART;VALUE=DATE:{event.day:%Y%m%d}",
        f"DTEND;VALUE=DATE:{event.day + dt.timedelta(days=1):%Y%m%d}",
        f"SUMMARY:{escaped(event.summary)}",
    ]
    if event.description:
        lines.append(f"DESCRIPTION:{escaped(event.description)}")
    return [*lines, "TRANSP:TRANSPARENT", "END:VEVENT"]


def escaped(words: str) -> str:
    """Words as a TEXT value (RFC 5545, section 3.3.11); control characters other than line ends are dropped."""
    words = (
        words.replace("\\", "\\\\").replace(";", "\\;").replace(",", "\\,").replace("\r\n", "\n").replace("\r", "\n")
    )
    return "".join(sign for sign in words.replace("\n", "\\n") if sign >= " " and sign != "\x7f")


def folded(line: str) -> Iterator[str]:
    """A content line in pieces of at most 75 octets, the later ones opened by a space, no character cut in two."""
    piece, octets = "", 0
    for sign in line:
        size = len(sign.encode("utf-8"))
        if octets + size > FOLD_OCTETS:
            yield piece
            piece, octets = " ", 1
        piece, octets = piece + sign, octets + size
    yield piece
