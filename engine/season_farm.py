"""The fold's part for the farm itself: plots and beds, customers, crops, settings, people."""

from __future__ import annotations

import dataclasses

from engine.events import Beds, CropAdded, CustomerAdded, Event, Json, PlotAdded, Setting, to_json
from engine.state import Bed, Figures, Season


def registered(season: Season, event: PlotAdded | CustomerAdded | CropAdded | Setting) -> None:
    """From its day on a registration holds over earlier ones."""
    match event:
        case PlotAdded():
            _plot(season, event, over=True)
        case CustomerAdded():
            _customer(season, event)
        case CropAdded():
            _crop(season, event, over=True)
        case Setting():
            _setting(season, event, over=True)


def reach_back(season: Season, event: Event) -> None:
    """Names are known, and a first setting holds, also on days before they were said; nothing known is changed."""
    match event:
        case PlotAdded():
            _plot(season, event, over=False)
        case CustomerAdded():
            _customer(season, event)
        case CropAdded():
            _crop(season, event, over=False)
        case Setting():
            _setting(season, event, over=False)
        case _:
            raise AssertionError(f"{event.kind!r} registers nothing")


def met(season: Season, who: str | None) -> None:
    """A person whom the book has named."""
    if who and who not in season.people:
        season.people.append(who)


def plot_of(bed: str) -> str:
    """The plot in a bed's whole name: all but its last word."""
    return bed.rpartition(" ")[0]


def _plot(season: Season, event: PlotAdded, *, over: bool) -> None:
    known = season.plots.get(event.plot, [])
    season.plots[event.plot] = known + [bed for bed in event.beds if bed not in known]
    for name in event.beds:
        bed = season.beds.get(name) or Bed(name, event.plot)
        length, width = (
            (event.length_ft or bed.length_ft, event.width_in or bed.width_in)
            if over
            else (bed.length_ft or event.length_ft, bed.width_in or event.width_in)
        )
        season.beds[name] = dataclasses.replace(bed, plot=event.plot, length_ft=length, width_in=width)


def _customer(season: Season, event: CustomerAdded) -> None:
    if event.customer not in season.customers:
        season.customers.append(event.customer)


def _crop(season: Season, event: CropAdded, *, over: bool) -> None:
    figures = season.crops.get(event.crop, Figures())
    changes = {}
    for field in dataclasses.fields(Figures):
        said = getattr(event, field.name)
        if said is not None and (over or getattr(figures, field.name) is None):
            changes[field.name] = said
    season.crops[event.crop] = dataclasses.replace(figures, **changes)


def _setting(season: Season, event: Setting, *, over: bool) -> None:
    if event.name.startswith("compost_"):
        season.compost += [to_json(event)] if over else []
        return
    if owner_of(event) is None:
        if over or event.name not in season.settings:
            season.settings[event.name] = event.value
        return
    owner, record = owner_of(event) or "", to_json(event)
    others = season.overrides.get(owner, [])
    same = [other for other in others if _key(other) == _key(record)]
    if over or not same:
        season.overrides[owner] = [other for other in others if other not in same] + [record]


def owner_of(setting: Setting) -> str | None:
    """Under which of the `overrides` a setting is kept, or None for the plain ones of the whole farm."""
    if setting.crop:
        return setting.crop
    by_words = isinstance(setting.value, dict)
    return "" if setting.plot or setting.variety or by_words else None


def _key(setting: Json) -> tuple[str | None, ...]:
    """What must be equal for one setting to take another's place."""
    value = setting["value"]
    words = tuple(value.get(name) for name in ("unit", "say", "on")) if isinstance(value, dict) else ()
    return (setting["name"], setting.get("variety"), setting.get("plot"), *words)


def bed(season: Season, name: str) -> Bed:
    """The bed of that name; a bed that nobody registered is taken on as it comes."""
    return season.beds.get(name) or Bed(name, plot_of(name))


def beds(season: Season, names: Beds) -> list[Bed]:
    """The beds of those names, in that order, each once."""
    return [bed(season, name) for name in dict.fromkeys(names)]
