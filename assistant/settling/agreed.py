"""Going ahead with what was suggested: "do that", "put the first two down", "do that but not the kale"."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from typing import TYPE_CHECKING

from assistant.settling import outcome as cost
from assistant.settling.outcome import Move
from assistant.settling.which_beds import beds_meant
from engine.events import Planned
from engine.sow_list import ToSow
from engine.suggested import Row, suggested
from grammar.said import Beds, Clause, Part

if TYPE_CHECKING:
    from assistant.settling.deeds import Deeds

ABOUT_SOWING = frozenset(("sow_by", "ready_when", "seed_needed"))


def agreed(clause: Clause, later: tuple[Clause, ...], settler: Deeds) -> None:
    """What the last answer suggested, or the part of it that is named, becomes things meant; nothing where words come
    after it that may leave some of it out."""
    memory = settler.scene.memory
    rows = suggested(memory.result, settler.scene.today) if memory.ask is not None else ()
    meant = [event for row in _chosen(rows, clause, settler) for event in row]
    if not rows and not clause.unread and _sowing_spoken_of(clause, settler):
        return
    if clause.unread or not meant or any(one.act is None for one in later):
        settler.outcome.cost += cost.NOTED
        settler.move(Move("none_chosen" if rows else "none_suggested", clause))
        return
    settler.outcome.agreed = True
    for event in meant:
        settler.outcome.order.append(event)
        settler.scene.learn(event)
    if isinstance(memory.result, ToSow) and not clause.parts and any(not one.beds for one in memory.result.sowings):
        settler.move(Move("without_bed", clause))


def _sowing_spoken_of(clause: Clause, settler: Deeds) -> bool:
    """ "I will put them in ridge 5 tomorrow", after a question about sowing a crop, is a sowing meant; by itself "plan
    beets in ridge 5 friday" is one, too."""
    if not clause.part("beds"):
        return False
    ask = settler.scene.memory.ask
    asked = ask.crop if ask is not None and ask.topic in ABOUT_SOWING else None
    if clause.part("crop") is None and asked is None:
        return False
    crop = () if clause.part("crop") else (Part("crop", asked, clause.span),)
    settler.plan(replace(clause, parts=(*clause.parts, *crop)), "sown")
    return True


def _chosen(rows: tuple[Row, ...], clause: Clause, settler: Deeds) -> Iterator[Row]:
    """The rows that the clause names, without what it leaves out; all where it names none."""
    said = {part.type: part.value for part in clause.parts}
    crop, out = said.get("crop_chosen") or said.get("crop"), said.get("left_out", ())
    named = _beds(said.get("beds") or said.get("plot"), settler)
    left_out = [bed for one in out for bed in _beds(one, settler)]
    for row in rows[: int(said.get("first_few", len(rows)))]:
        last = row[-1]
        held = last.beds or ()
        beds = tuple(bed for bed in held if (not named or bed in named) and bed not in left_out)
        if beds and crop in (None, last.crop) and last.crop not in out:
            yield row if beds == held else _with_beds(row, beds, Decimal(len(beds)) / len(held))


def _beds(said: Beds | str | None, settler: Deeds) -> tuple[str, ...]:
    """The beds that are named, or those of the plot; every bed that a bare number may mean."""
    if not isinstance(said, Beds):
        return settler.scene.names.beds_of(said) if said else ()
    meant = beds_meant(said, settler.scene, settler.scene.season(), lambda bed: True)
    return meant.beds or meant.choices


def _with_beds(row: Row, beds: tuple[str, ...], share: Decimal) -> Row:
    """The row for some of its beds only, with their share of the seed."""
    return tuple(_shared(one, share) if one.beds is None else replace(_shared(one, share), beds=beds) for one in row)


def _shared(one: Planned, share: Decimal) -> Planned:
    whole = Decimal(1) if one.unit == "tray" else Decimal("0.1")
    return one if one.quantity is None else replace(one, quantity=max(whole, (one.quantity * share).quantize(whole)))
