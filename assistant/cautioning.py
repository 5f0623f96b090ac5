"""What is said beside a record: a caution once a season, who may not go in yet, the cold chain, whether it is compost.

A caution is no question: nothing waits for an answer.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from engine.cold import Read, is_gap, reading_before, troubles
from engine.events import Amended, CoolerReading, Event, Setting, Sprayed
from engine.safety import COMPOST_READING, COMPOST_RECORD, compost_recorded, entry_waits, is_untold, manure_kind
from engine.view import Fact, View

WORK_IN_BEDS = frozenset(
    ("planned", "sown", "transplanted", "cleared", "covered", "uncovered", "prepared", "amended", "watered", "weeded",
     "thinned", "sighted", "germinated")
)  # fmt: skip

SAME_RISKS = (("harvested", "sold"), ("cleared", "prepared", "sprayed", "planned"))
FEW = 8, 50  # records that are looked at before all: work that comes up often has been told of lately


def told_beside(view: View, facts: Sequence[Fact]) -> list[str]:
    """What there is to say beside the records just written, each thing once; `view` sees them."""
    events = [fact.event for fact in facts]
    return list(dict.fromkeys([*_once_a_season(view, events), *_beside(view, facts)]))


def _once_a_season(view: View, events: Sequence[Event]) -> Iterator[str]:
    from assistant.wording.cautions import cautions

    for event in events:
        caution = cautions(event)
        if caution is None or _heat_recorded(view, event):
            continue
        if not any(cautions(earlier) == caution for earlier in _earlier(view, event) if earlier not in events):
            yield caution


def _earlier(view: View, event: Event) -> Iterator[Event]:
    """The season's records of its kind and of those with the same risks, the latest first, a few before the rest."""
    kinds = next((risk for risk in SAME_RISKS if event.kind in risk), (event.kind,))
    start, end = event.date.replace(month=1, day=1), event.date.replace(month=12, day=31)  # plans lie ahead
    for limit in (*FEW, None):
        found = view.facts(start, end, kinds=kinds, newest_first=True, limit=limit)
        yield from (fact.event for fact in found)


def _heat_recorded(view: View, event: Event) -> bool:
    """Whether it is compost that has its record, so that there is nothing to be told of it."""
    if not isinstance(event, Amended) or manure_kind(event.material) != "compost":
        return False
    return compost_recorded(view.season(event.date), event.date)


def _beside(view: View, facts: Sequence[Fact]) -> Iterator[str]:
    for fact in facts:
        event = fact.event
        if event.kind in WORK_IN_BEDS:
            yield from _keep_out(view, event)
        if isinstance(event, Amended) and is_untold(event.material):
            from assistant.wording.cautions import MANURE_ASKED

            yield MANURE_ASKED
        elif isinstance(event, Sprayed):
            yield from _label_asked(view, event)
        elif isinstance(event, CoolerReading):
            yield from _cold(view, Read(fact.entry, event))
        elif isinstance(event, Setting) and event.name in (COMPOST_RECORD, COMPOST_READING):
            from assistant.wording.safety import compost

            yield compost(event, view.season())


def _label_asked(view: View, event: Sprayed) -> Iterator[str]:
    """The figures of its label that count here and were not said."""
    season = view.season(event.date)
    stands = any(season.beds[bed].plantings for bed in event.beds if bed in season.beds)
    days, hours = event.harvest_wait_days is None and stands, event.entry_wait_hours is None
    if days or hours:
        from assistant.wording.safety import label_asked

        yield label_asked(days=days, hours=hours)


def _keep_out(view: View, event: Event) -> Iterator[str]:
    """The beds of the work that nobody may enter yet on its day."""
    beds = getattr(event, "beds", None) or ()
    season = view.season(min(event.date, view.today))
    waits = [wait for wait in entry_waits(season, event.date) if wait.bed in beds] if season.treatments else []
    if waits:
        from assistant.wording.safety import keep_out

        yield from (keep_out(wait) for wait in waits)


def _cold(view: View, read: Read) -> Iterator[str]:
    """What a reading does to what lies in the cooler, where none since it came in has told so; and a gap before it."""
    from assistant.wording.cold import gap, trouble_line

    season, before = view.season(read.event.date), reading_before(view, read)
    if before is not None and is_gap(before, read):
        yield gap(before.event, read.event)
    told = set(troubles(season, before.event)) if before is not None else set()
    came = {lot.crop: lot.entry for lot in sorted(season.lots, key=lambda lot: lot.entry) if lot.left > 0}
    fresh = [
        one for one in troubles(season, read.event)
        if one.does in ("freezes", "may_freeze") or one not in told or before is None or came[one.crop] > before.entry
    ]  # fmt: skip
    if fresh:
        yield trouble_line(fresh)
