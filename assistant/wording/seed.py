"""Amounts of seed in words, and the lines that several answers about sowing end with."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

from assistant.wording.text import block, figure, plural, wrapped
from engine.quantities import MASS
from engine.seeds import Seed


def seed_said(seed: Seed) -> str:
    """The amount in a few words: "70 g (2.5 oz), about 7,000 seeds", "4 trays of 128 for 400 plants"."""
    if seed.pieces and seed.plants:
        return f"{figure(seed.plants)} {seed.pieces}"
    weight = _weight(seed.grams)
    count = f"about {_round(seed.seeds)} seeds" if seed.seeds else ""
    if seed.trays and seed.plants:
        trays = f"{plural(seed.trays, 'tray')} of {seed.cells} for {figure(seed.plants)} plants"
        return ", ".join(part for part in (trays, weight or count) if part)
    return ", ".join(part for part in (weight, count) if part)


def _weight(grams: Decimal | None) -> str:
    if not grams:
        return "" if grams is None else "less than 0.1 g"
    ounces = grams / MASS["oz"]
    ounces = ounces.quantize(Decimal("0.1") if ounces >= 1 else Decimal("0.01"))
    return f"{figure(grams)} g ({figure(ounces)} oz)" if ounces else f"{figure(grams)} g"


def _round(count: int) -> str:
    """A count to two figures: nobody counts seed closer."""
    step = 10 ** max(0, len(str(count)) - 2)
    return figure(round(count / step) * step)


def not_known(missing: Iterable[str]) -> list[str]:
    gaps = list(missing)
    return [f"I do not have: {'; '.join(gaps)}."] if gaps else []


def joined(head: str, lines: list[str], width: int) -> str:
    return "\n".join([wrapped(head, width), *([block(lines, width)] if lines else [])])
