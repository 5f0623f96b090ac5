"""The farm's own names as a frozen snapshot: what a phrase may call things."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from engine.state import Season


@dataclass(frozen=True, slots=True)
class Names:
    """Every name the farm uses. `aliases` maps what the farm says to what it means, in its own words for its things."""

    plots: tuple[tuple[str, tuple[str, ...]], ...] = ()
    crops: tuple[str, ...] = ()
    varieties: tuple[tuple[str, tuple[str, ...]], ...] = ()
    customers: tuple[str, ...] = ()
    people: tuple[str, ...] = ()
    materials: tuple[str, ...] = ()
    aliases: tuple[tuple[str, str], ...] = ()

    @property
    def beds(self) -> tuple[str, ...]:
        """All beds by their whole names, plot by plot."""
        return tuple(bed for _, beds in self.plots for bed in beds)

    def beds_of(self, plot: str) -> tuple[str, ...]:
        """The beds of a plot, none if there is no such plot."""
        return dict(self.plots).get(plot, ())

    def meant(self, said: str) -> str | None:
        """What the farm means by a word of its own."""
        return dict(self.aliases).get(said)


def names_in(season: Season, by: tuple[str, ...] = ()) -> Names:
    """The names that a season knows, with the people who wrote in the book."""
    return Names(
        plots=tuple((plot, tuple(beds)) for plot, beds in season.plots.items()),
        crops=tuple(sorted({*season.crops, *season.varieties, *season.tallies, *(order.crop for order in season.orders)})),
        varieties=tuple((crop, tuple(names)) for crop, names in sorted(season.varieties.items())),
        customers=tuple(season.customers),
        people=tuple(dict.fromkeys((*season.people, *by))),
        materials=tuple(sorted(season.materials)),
        aliases=tuple(_aliases(season)),
    )


def _aliases(season: Season) -> list[tuple[str, str]]:
    settings: list[dict[str, Any]] = [one for ones in season.overrides.values() for one in ones]
    return [(one["value"]["say"], one["value"]["mean"]) for one in settings if one["name"] == "alias"]
