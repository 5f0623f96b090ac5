"""The farm's own names as a frozen snapshot: what a phrase may call things."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from engine.state import Season


@dataclass(frozen=True, slots=True)
class Names:
    """Every name the farm uses, in pairs and tuples, so that two snapshots of the same names are equal and hash alike.

    `crops` are those the farm registered or ever grew; `aliases` are its own ways of saying: (what is said, what is
    meant). `words` is the same laid out for looking up.
    """

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

    @property
    def words(self) -> Words:
        """These names as a vocabulary."""
        return Words(self)


@dataclass(frozen=True, slots=True)
class Words:
    """The names laid out for looking up: plots as a mapping, varieties as one list. Equal if the names are."""

    names: Names

    @property
    def plots(self) -> Mapping[str, Sequence[str]]:
        """Plot -> its beds by whole name."""
        return dict(self.names.plots)

    @property
    def crops(self) -> Sequence[str]:
        return self.names.crops

    @property
    def varieties(self) -> Sequence[str]:
        return tuple(dict.fromkeys(one for _, many in self.names.varieties for one in many))

    @property
    def customers(self) -> Sequence[str]:
        return self.names.customers

    @property
    def people(self) -> Sequence[str]:
        return self.names.people

    @property
    def materials(self) -> Sequence[str]:
        return self.names.materials

    @property
    def aliases(self) -> Sequence[tuple[str, str]]:
        return self.names.aliases


def names_in(season: Season) -> Names:
    """The names that a season knows."""
    return Names(
        plots=tuple((plot, tuple(beds)) for plot, beds in season.plots.items()),
        crops=tuple(sorted({*season.crops, *season.varieties, *season.tallies})),
        varieties=tuple((crop, tuple(names)) for crop, names in sorted(season.varieties.items()) if names),
        customers=tuple(season.customers),
        people=tuple(season.people),
        materials=tuple(sorted(season.materials)),
        aliases=tuple(_aliases(season)),
    )


def _aliases(season: Season) -> Iterator[tuple[str, str]]:
    for settings in season.overrides.values():
        for setting in settings:
            value: Any = setting["value"]
            if setting["name"] == "alias" and isinstance(value, dict) and value.get("say") and value.get("mean"):
                yield str(value["say"]), str(value["mean"])
