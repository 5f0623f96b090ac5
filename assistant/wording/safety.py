"""Waiting times as text: when each bed may be picked again, why, and who has the last word."""

from __future__ import annotations

from assistant.wording import text
from engine.asks import Ask
from engine.events import Setting
from engine.safety import BedSafety, SafeToHarvest, Wait, compost_recorded, compost_told, rules
from engine.state import Season

LAST_WORD = "The label is the law; your buyers, certifier and local rules may ask for more."


def safe_to_harvest(result: SafeToHarvest, ask: Ask, width: int) -> str:
    """For each bed whether its waits are over on the day, the first day they are, and the rule behind each."""
    if not result.beds:
        where = "Every bed is" if result.all_beds else "There is no such bed or crop standing; nothing is"
        verdict = "clear of the waits on record" if result.all_beds else "known"
        return text.wrapped(f"{where} {verdict} for {text.day(result.day)}. {LAST_WORD}", width)
    parts = ["\n".join(_bed(bed, result, width)) for bed in result.beds]
    return "\n".join([*parts, text.wrapped(LAST_WORD, width)])


def _bed(bed: BedSafety, result: SafeToHarvest, width: int) -> list[str]:
    crop = f" {bed.crop}" if bed.crop else ""
    lines = [text.wrapped(f"{bed.bed}{crop}: {_verdict(bed, result)}", width, 2)]
    lines += [text.block([_wait(wait, bed, result)], width) for wait in bed.waits]
    lines += [text.block([f"seen there: {sign}. Pick nothing around it, flag the spot."], width) for sign in bed.signs]
    return lines


def _verdict(bed: BedSafety, result: SafeToHarvest) -> str:
    day = text.day(result.day)
    if bed.over:
        return f"no wait on record holds it back on {day}."
    if bed.from_day is None:
        return f"do not pick on {day}: a wait of unknown length is running. What does the label say?"
    hours = [wait.hour for wait in bed.waits if wait.kind == "entry" and wait.until == bed.from_day]
    hour = f", from {max(hours)}:00 on" if any(hours) else ""
    if bed.from_day == result.day:
        return f"not on {day}{hour.replace(' from', ' before').removesuffix(' on')}."
    return (
        f"not on {day}. First day clear of the waits: {text.day(bed.from_day, result.day)}{hour}.{_entry(bed, result)}"
    )


def _entry(bed: BedSafety, result: SafeToHarvest) -> str:
    """From when people may go in, where that is sooner than the picking."""
    ends = [(wait.until, wait.hour or 0) for wait in bed.waits if wait.kind == "entry" and wait.until]
    if not ends or bed.from_day is None or max(ends)[0] >= bed.from_day:
        return ""
    until, hour = max(ends)
    return f" To go in, not to pick: from {text.day(until, result.day)}{f' {hour}:00' if hour else ''} on."


def _wait(wait: Wait, bed: BedSafety, result: SafeToHarvest) -> str:
    until = f", until {text.day(wait.until, result.day)}" if wait.until else ""
    hour = f" {wait.hour}:00" if wait.hour and wait.kind == "entry" else ""
    line = f"{wait.material} on {text.day(wait.since, result.day)}: {wait.why}{until}{hour} ({wait.source})"
    if wait.kind in ("manure", "compost") and bed.crop is None:
        line += "; 90 days for a crop that hangs clear of the soil"
    return line


def keep_out(wait: Wait) -> str:
    """Until when nobody may go into a bed."""
    until = f"{text.day(wait.until)}{f' {wait.hour}:00' if wait.hour else ''}" if wait.until else "the label says so"
    return f"Keep out of {wait.bed} until {until}: {wait.material}, {wait.why}."


def label_asked(*, days: bool, hours: bool) -> str:
    """What is asked of a spray's label where it was not said; the next line may say it."""
    wanted = text.names([*(["days to harvest"] if days else []), *(["hours to re-entry"] if hours else [])])
    return f"How many {wanted} does its label give? Tell me, and I count them."


def compost(told: Setting, season: Season) -> str:
    """Whether what was just told makes it compost by the published rule, and what is missing."""
    holds, record = compost_told(season, told.name, told.value)
    windrow, vessel = rules()["compost"]["windrow"], rules()["compost"]["vessel"]
    if holds:
        return f"That makes it compost ({windrow['source']}): no wait after what is spread from then on, for a year."
    wants = (
        f"{windrow['low_f']} to {windrow['high_f']} F for {windrow['days']} days with {windrow['turnings']} turnings, "
        f"or for {vessel['days']} days in a vessel or static aerated pile"
    )
    _, days, turnings, low_f = record
    hot = f"{text.plural(int(days), 'day')} at {low_f} F or more, {text.plural(int(turnings), 'turning')}"
    have = f"on record {hot if days else 'no hot day'}"
    counts = "An earlier record holds meanwhile" if compost_recorded(season, season.day) else "It counts as raw manure"
    return f"Compost by the rule ({windrow['source']}) was {wants}; {have}. {counts}."
