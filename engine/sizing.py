"""How much to sow: what one sowing gives over all the deliveries that its cuts can serve, not by its first cut alone.

Lots and wants are both in order of day, so a length is enough if it is for every run of wants in a row: no less than
what these want over what a foot brings in all cuts that can serve any of them (Hall's condition; P. Hall 1935).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from engine.shortfalls import Coming, Want

# As much bed a unit as that is taken rather than sow some days sooner, or once more; our estimates.
WORTH_SOONER = WORTH_FEWER = Decimal("1.15")
TOO_MUCH_BED = Decimal("1.5")  # as much bed as that for the first delivery alone: it is served in part; our estimate


@dataclass(frozen=True, slots=True)
class Size:
    """Bed feet, and the wants that they serve; `partly` is True where the first of these is not met in full."""

    feet: Decimal
    served: tuple[Want, ...]
    partly: bool = False

    @property
    def feet_a_unit(self) -> Decimal:
        return self.feet / sum((want.short for want in self.served), Decimal(0))


def sized(wants: Sequence[Want], a_foot: Sequence[Coming]) -> Size | None:
    """The size for as many of the wants, from the first on, as take hardly more bed a unit than the fewest that can be;
    None if it serves not even one."""
    found: list[Size] = []
    feet = Decimal(0)
    for end in range(1, len(wants) + 1):
        needed = [_feet(wants[start:end], a_foot) for start in range(end)]
        if needed[-1] is None:
            break
        feet = max(feet, *(one for one in needed if one is not None))
        found.append(Size(feet, tuple(wants[:end])))
    least = min((size.feet_a_unit for size in found), default=Decimal(0))
    return next((size for size in reversed(found) if size.feet_a_unit <= WORTH_FEWER * least), None)


def sized_in_part(wants: Sequence[Want], a_foot: Sequence[Coming]) -> Size | None:
    """The same, with the first want served in part where it would take half as much bed again as all later ones."""
    whole, later = sized(wants, a_foot), sized(wants[1:], a_foot)
    if whole is None or later is None or whole.feet <= TOO_MUCH_BED * later.feet:
        return whole
    return Size(later.feet, (wants[0], *later.served), partly=True)


def _feet(run: Sequence[Want], a_foot: Sequence[Coming]) -> Decimal | None:
    """Feet that bring what a run of wants is short of, None where nothing can serve it."""
    brings = sum((lot.quantity for lot in a_foot if any(_serves(lot, want) for want in run)), Decimal(0))
    return sum((want.short for want in run), Decimal(0)) / brings if brings else None


def _serves(lot: Coming, want: Want) -> bool:
    return lot.ready <= want.day <= lot.last


def latest_of(sizes: Sequence[tuple[int, Size]]) -> tuple[int, Size] | None:
    """Of the sizes by the number of their day, the latest that takes hardly more bed a unit than the best."""
    if not sizes:
        return None
    least = min(size.feet_a_unit for _, size in sizes)
    return max((one for one in sizes if one[1].feet_a_unit <= WORTH_SOONER * least), key=lambda one: one[0])
