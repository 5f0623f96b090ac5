"""What was stored, said back: one short line a record, with every field, so that a wrong one is heard at once."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from assistant.wording import text
from assistant.wording.cautions import cautions
from assistant.wording.changes import changes
from assistant.wording.deeds import line, when
from assistant.wording.words import NOUNS, Say, lowered
from engine.events import Event, Worked
from engine.lot_codes import lot_code

__all__ = ["cautions", "corrected", "record", "records", "undone"]

# Amounts that belong to each bed of its own where records of several beds are said in one line.
MEASURED = ("quantity", "percent", "minutes")


def record(event: Event, today: dt.date, currency: str | None = None) -> str:
    """The line of one record: "Harvested radish from Brook 4: 30 lb."; its day is said where it is not today."""
    return _sentence(event, Say(today, currency))


def records(
    events: Sequence[Event], today: dt.date, currency: str | None = None, entries: Sequence[int] = ()
) -> str:  # fmt: skip
    """A line for each record, in their order; beds that were treated alike share one, work and its hours too.

    Of what is in the book the numbers of its `entries` are given: a harvest then ends in the code for its crates.
    """
    say, lines, left = Say(today, currency), [], list(entries)
    for group in _groups(events):
        lots = [lot_code(entry) for entry, event in zip(left, group, strict=False) if event.kind == "harvested"]
        del left[: len(group)]
        lines.append(_together(group, say, lots))
    return "\n".join(lines)


def corrected(was: Event, now: Event, today: dt.date, currency: str | None = None) -> str:
    """What changed, each field as it is now and as it was; "Nothing changed" with the record where all is the same."""
    say = Say(today, currency)
    if was.kind != now.kind:
        return _ended(f"Changed: {_whole(now, say)} now, was {_whole(was, say)}")
    changed = changes(was, now, say)
    if not changed:
        return _ended(f"Nothing changed: {_whole(now, say)}")
    first, *rest = changed
    day = when(was, say) if was.date == now.date else ""
    link = " is" if first.bare else ","
    said = "; ".join([f"{line(was, say).called}{day}{link} {first}", *map(str, rest)])
    return _ended(f"Changed: {said}")


def undone(event: Event, today: dt.date, currency: str | None = None) -> str:
    """The record that was taken back, whole: "Taken back: harvested radish from Brook 4, 30 lb."."""
    return _ended(f"Taken back: {_whole(event, Say(today, currency))}")


def _sentence(event: Event, say: Say, *more: str) -> str:
    said = line(event, say)
    details = ", ".join([*said.details, *more])
    head = f"{said.head}{when(event, say)}"
    return _ended(f"{head}: {details}" if details else head)


def _whole(event: Event, say: Say) -> str:
    said = line(event, say)
    return lowered(", ".join([f"{said.head}{when(event, say)}", *said.details]))


def _ended(said: str) -> str:
    """The line with a full stop, unless the grower's own words brought one along."""
    return said if said.endswith((".", "!", "?")) else f"{said}."


def _groups(events: Sequence[Event]) -> list[list[Event]]:
    """Neighbours that can be said in one line, together."""
    groups: list[list[Event]] = []
    for event in events:
        if groups and (_joins(groups[-1], event) or _is_time_for(groups[-1], event)):
            groups[-1].append(event)
        else:
            groups.append([event])
    return groups


def _joins(group: list[Event], event: Event) -> bool:
    """Whether the record is the group's last one again in other beds."""
    last, beds, others = group[-1], _beds(event), [bed for one in group for bed in _beds(one)]
    if last.kind != event.kind or not beds or not others or set(beds) & set(others):
        return False
    alike = _for_beds(last, beds) == event
    return alike and (not _is_measured(event) or len(beds) == 1 == len(_beds(last)))


def _is_time_for(group: list[Event], event: Event) -> bool:
    """Whether the record is the hours of the group's own work, such as the hours of a weeding."""
    last = group[-1]
    return (
        isinstance(event, Worked) and not isinstance(last, Worked) and event.task in (last.kind, NOUNS.get(last.kind))
        and event.date == last.date
    )  # fmt: skip


def _together(group: list[Event], say: Say, lots: list[str]) -> str:
    work = [event for event in group if not isinstance(event, Worked)] or group
    time = group[len(work) :]
    beds = tuple(bed for event in work for bed in _beds(event))
    several = len(work) > 1
    first = _for_beds(work[0], beds) if several else work[0]
    each = several and _is_measured(first)
    more = [word for one in time for word in _time(one, say)]
    more += [f"lot {text.names(lots)}" if len(lots) == 1 else f"lots {text.names(lots)}"] if lots else []
    return _sentence(first, replace(say, each=each), *more)


def _time(event: Event, say: Say) -> list[str]:
    """The hours and whose they are; what they were spent on is what the line is about."""
    who = getattr(event, "who", None)
    return [lowered(line(event, say).head), *([who] if who else [])]


def _beds(event: Event) -> tuple[str, ...]:
    return getattr(event, "beds", None) or ()


def _is_measured(event: Event) -> bool:
    return any(getattr(event, name, None) is not None for name in MEASURED)


def _for_beds(event: Any, beds: tuple[str, ...]) -> Event:
    changed: Event = replace(event, beds=beds)
    return changed
