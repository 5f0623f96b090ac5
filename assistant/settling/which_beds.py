"""Which beds were meant: by name, by number, by what grows in them or lies on them, by a word like "it" or "next"."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from assistant.settling.fill import Unclear
from assistant.settling.scene import Scene
from engine.names import Names
from engine.season_farm import plot_of
from engine.state import Bed, Season
from grammar.build import LAST_BED
from grammar.said import Beds as BedsSaid

Names_ = tuple[str, ...]
Fits = Callable[[Bed], bool]


@dataclass(frozen=True, slots=True)
class Meant:
    """The beds, if they are certain; else the choices that remain, or the name of a bed that is not there."""

    beds: Names_ = ()
    choices: Names_ = ()
    unknown: str | None = None

    def unclear(self) -> Unclear:
        """What must be asked where the beds are not certain."""
        if self.unknown is None:
            return Unclear("beds", self.choices)
        return Unclear("beds", self.choices, "bed_unknown", (("bed", self.unknown),))


def fits(kind: str, crop: str | None) -> Fits:
    """Whether a bed is in a state in which this could have been done to it."""

    def holds_crop(bed: Bed) -> bool:
        return bool(bed.plantings) and (crop is None or any(one.crop == crop for one in bed.plantings))

    tests: dict[str, Fits] = {
        "harvested": holds_crop, "germinated": holds_crop, "thinned": holds_crop, "lost": holds_crop,
        "cleared": holds_crop, "flipped": lambda bed: True, "sown": lambda bed: not bed.plantings,
        "transplanted": lambda bed: not bed.plantings, "uncovered": lambda bed: bed.covered_since is not None,
        "prepared": lambda bed: not bed.plantings,
    }  # fmt: skip
    return tests.get(kind, holds_crop if crop is not None else lambda bed: True)


def beds_meant(said: BedsSaid, scene: Scene, season: Season, suits: Fits) -> Meant:
    """The beds that a phrase means; `suits` is the state they should be in, used only where names leave doubt."""
    if said.pointing:
        return _pointed(said, scene)
    if said.of_crop or said.state:
        return _described(said, season)
    if said.which == "everywhere":
        return Meant(tuple(season.beds))
    meant = _numbered(said.groups, scene, season, suits)
    if said.counted is not None and len(meant.beds) != said.counted:
        return Meant(choices=meant.beds)
    if not said.besides or not meant.beds:
        return meant
    plot = plot_of(meant.beds[-1])
    left_out = {f"{group_plot or plot} {number}" for group_plot, numbers in said.besides for number in numbers or ()}
    if f"{plot} {LAST_BED}" in left_out:
        left_out.add(meant.beds[-1])
    return Meant(tuple(bed for bed in meant.beds if bed not in left_out))


def _pointed(said: BedsSaid, scene: Scene) -> Meant:
    last = scene.beds or scene.memory.beds
    if not last:
        return Meant()
    if said.pointing in ("it", "both"):
        return Meant(last)
    plot = plot_of(last[-1])
    beds = scene.names.beds_of(plot)
    if said.pointing == "next" and last[-1] in beds and beds.index(last[-1]) + 1 < len(beds):
        return Meant((beds[beds.index(last[-1]) + 1],))
    if said.pointing == "other":
        crops = (
            {one.crop for one in scene.season().beds[last[-1]].plantings} if last[-1] in scene.season().beds else set()
        )
        others = tuple(one.bed for one in scene.season().plantings() if one.crop in crops and one.bed not in last)
        return Meant(others) if len(others) == 1 else Meant(choices=others)
    return Meant(choices=beds)


def _described(said: BedsSaid, season: Season) -> Meant:
    if said.of_crop:
        beds = beds_with(season, said.of_crop)
    else:
        beds = tuple(name for name, bed in season.beds.items() if bed.state == said.state)
    if not beds:
        return Meant(unknown=f"{said.of_crop or said.state} bed")
    if said.which == "all" or len(beds) == 1 or (said.which == "both" and len(beds) == 2):
        return Meant(beds)
    return Meant(choices=beds)


def as_said(beds: Iterable[str]) -> BedsSaid:
    """The phrase that names just these beds."""
    return BedsSaid(groups=tuple((plot_of(bed), (int(bed.rpartition(" ")[2]),)) for bed in beds))


def beds_with(season: Season, crop: str) -> Names_:
    """The beds in which a crop stands."""
    return tuple(dict.fromkeys(one.bed for one in season.plantings() if one.crop == crop))


def _numbered(
    groups: Iterable[tuple[str | None, tuple[int, ...] | None]], scene: Scene, season: Season, suits: Fits
) -> Meant:
    found: list[str] = []
    for plot, numbers in groups:
        if plot is None:
            assert numbers is not None
            meant = _without_plot(numbers, scene, season, suits)
            if not meant.beds:
                return meant
            found.extend(meant.beds)
        elif numbers is None:
            found.extend(scene.names.beds_of(plot))
        else:
            for number in numbers:
                name = f"{plot} {number}"
                if name not in season.beds:
                    return Meant(unknown=name, choices=_alike(number, scene.names))
                found.append(name)
    return Meant(tuple(dict.fromkeys(found)))


def _alike(number: int, names: Names) -> Names_:
    return tuple(bed for bed in names.beds if bed.rpartition(" ")[2] == str(number))


def _without_plot(numbers: tuple[int, ...], scene: Scene, season: Season, suits: Fits) -> Meant:
    """Numbers alone: the one plot that has such beds, or of several the one whose beds suit or that was said last."""
    whole = {
        plot: tuple(f"{plot} {number}" for number in numbers)
        for plot, beds in scene.names.plots
        if all(f"{plot} {number}" in beds for number in numbers)
    }
    if not whole:
        return Meant(unknown=" ".join(["bed", *map(str, numbers)]))
    if len(whole) == 1:
        return Meant(next(iter(whole.values())))
    suiting = {plot: beds for plot, beds in whole.items() if _all_suit(beds, season, suits)}
    if scene.plot in (suiting or whole):
        return Meant(whole[scene.plot or ""])
    if len(suiting) == 1:
        return Meant(next(iter(suiting.values())))
    if scene.memory.plot in (suiting or whole):
        return Meant((suiting or whole)[scene.memory.plot or ""])
    return Meant(choices=tuple(bed for beds in (suiting or whole).values() for bed in beds))


def _all_suit(beds: Names_, season: Season, suits: Fits) -> bool:
    return all(suits(season.beds[bed]) for bed in beds if bed in season.beds)
