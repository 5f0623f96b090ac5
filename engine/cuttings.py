"""The cuts of a crop that would be sown, in order: each taken when it is ready, the next regrown from there."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from engine.crops import PICKED, facts
from engine.growth import Forecast, crop_facts, if_sown, next_cut
from engine.seeds import raised_in_trays
from engine.state import Planting, Season
from engine.weather import WeatherBook
from engine.windows import LINGERS_DAYS, MOST_CUTS_AHEAD


@dataclass(frozen=True, slots=True)
class Cuttings:
    """The usual cuts in order, at least one; `picked` where they are pickings of a plant that stands."""

    cuts: tuple[Forecast, ...]
    picked: bool = False

    def last_day(self, number: int) -> dt.date:
        """The last day to pick cut `number` (from 0): at its best, or at once where another is to follow; a picking can
        wait for the next one while it is at its best."""
        cut, following = self.cuts[number], self.cuts[number + 1 : number + 2]
        if following and not self.picked:
            return cut.ready.likely
        return max(cut.ready.likely, min([cut.best_until.likely, *(one.ready.likely for one in following)]))

    def out(self, number: int) -> dt.date:
        """The day the bed is likely done with if cut `number` (from 0) is the last."""
        cut = self.cuts[number]
        if len(self.cuts) > 1:
            return cut.ready.likely
        return max(cut.ready.likely, min(cut.best_until.likely, cut.ready.likely + dt.timedelta(days=LINGERS_DAYS)))


def first_if_sown(season: Season, weather: WeatherBook, crop: str, bed: str | None, day: dt.date) -> Forecast:
    """The first cut of the crop if it went into that bed (None: a usual bed) on that day, as seed or as seedlings."""
    return if_sown(season, weather, crop, bed, day, transplanted=raised_in_trays(season, facts(season, crop)))


def cuts_if_sown(season: Season, weather: WeatherBook, crop: str, bed: str | None, day: dt.date) -> Cuttings:
    """All usual cuts of the crop if it went in so, as far as no frost kills it; the first at any rate."""
    planted_out = raised_in_trays(season, facts(season, crop))
    planting = Planting(0, bed or "", crop, day, transplanted=planted_out)
    chain = [first_if_sown(season, weather, crop, bed, day)]
    most = min(chain[0].cuts, MOST_CUTS_AHEAD) if crop_facts(season, weather, planting).regrows else 1
    while len(chain) < most:
        following = next_cut(season, weather, planting, len(chain) + 1, chain[-1].ready.likely)
        if following.frosted:
            break
        chain.append(following)
    return Cuttings(tuple(chain), facts(season, crop).habit == PICKED)
