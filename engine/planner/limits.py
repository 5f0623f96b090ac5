"""What the grower wants of a plan beside money, as data: no crop here, a bed kept for a crop, beds left empty."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from engine.state import Season


@dataclass(frozen=True, slots=True)
class NoCrop:
    """ "No lettuce in Brook": a crop or a whole family kept out of a plot or bed, or (None) of all."""

    crop: str
    where: str | None = None

    def __str__(self) -> str:
        return f"no {self.crop}" + (f" in {self.where}" if self.where else "")


@dataclass(frozen=True, slots=True)
class KeepFor:
    """ "Keep Brook 3 for carrots": nothing else goes into that bed."""

    bed: str
    crop: str

    def __str__(self) -> str:
        return f"keep {self.bed} for {self.crop}"


@dataclass(frozen=True, slots=True)
class LeaveEmpty:
    """ "Leave two beds empty in August": so many beds, of a plot or of `beds` if said, from start to end, inclusive."""

    count: int
    start: dt.date
    end: dt.date
    plot: str | None = None
    beds: tuple[str, ...] = ()

    def __str__(self) -> str:
        which = ", ".join(self.beds) or f"{self.count} bed{'s' if self.count != 1 else ''}"
        where = f" in {self.plot}" if self.plot else ""
        return f"leave {which} empty{where} from {self.start.isoformat()} to {self.end.isoformat()}"


Limit = NoCrop | KeepFor | LeaveEmpty

COMMON = {"legume": "pea", "allium": "onion", "cucurbit": "squash", "nightshade": "tomato"}  # families by other names


def allowed_crops(season: Season, bed: str, crops: Sequence[str], limits: Iterable[Limit]) -> frozenset[str] | None:
    """The crops that may go into the bed, or None where nothing limits it."""
    plot = season.beds[bed].plot
    kept = [limit.crop for limit in limits if isinstance(limit, KeepFor) and limit.bed == bed]
    barred = [limit.crop for limit in limits if isinstance(limit, NoCrop) and limit.where in (None, bed, plot)]
    if not kept and not barred:
        return None
    return frozenset(
        crop for crop in crops if (not kept or crop in kept) and not any(_means(season, word, crop) for word in barred)
    )


def _means(season: Season, word: str, crop: str) -> bool:
    """Whether a rule about this crop or family is about the crop."""
    from engine.crops import facts  # what is known of crops is not loaded for the sake of a rule's name

    known = facts(season, crop)
    return not {word, COMMON.get(word)}.isdisjoint((crop, known.family, known.family_name))


def contradictions(season: Season, limits: Sequence[Limit]) -> tuple[str, ...]:
    """Limits that cannot hold together, or not on this farm, each told with the ones that clash."""
    found = []
    kept: dict[str, list[KeepFor]] = {}
    for limit in limits:
        if isinstance(limit, KeepFor):
            kept.setdefault(limit.bed, []).append(limit)
            found += [] if limit.bed in season.beds else [f"{limit}: there is no bed {limit.bed}"]
        elif isinstance(limit, NoCrop):
            places = {*season.plots, *season.beds, None}
            found += [] if limit.where in places else [f"{limit}: there is no {limit.where}"]
        else:
            found += _too_many_empty(season, limit)
    for bed, wishes in kept.items():
        if bed not in season.beds:
            continue
        if len({wish.crop for wish in wishes}) > 1:
            found.append(" and ".join(str(wish) for wish in wishes) + ": one bed, two crops (it may go to either)")
        for wish in wishes:
            against = [limit for limit in limits if isinstance(limit, NoCrop) and _bars(season, limit, wish)]
            found += [f"{wish} and {limit} cannot both hold: {bed} stays empty" for limit in against]
    return tuple(found)


def _bars(season: Season, limit: NoCrop, wish: KeepFor) -> bool:
    plot = season.beds[wish.bed].plot
    return limit.where in (None, wish.bed, plot) and _means(season, limit.crop, wish.crop)


def _too_many_empty(season: Season, limit: LeaveEmpty) -> list[str]:
    if limit.end < limit.start:
        return [f"{limit}: it ends before it begins"]
    beds = sum(limit.plot in (None, bed.plot) for bed in season.beds.values())
    return [f"{limit}: there are only {beds} beds"] if limit.count > beds else []
