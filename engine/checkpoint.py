"""A season as bytes and back: what happened on the farm, without its names, which are always taken fresh.

The layout follows the classes of `state.py` by itself, in columns: all dates of all pickings of all beds in one list,
which reads back several times faster than a list for each picking. `rules` names the code that made a checkpoint, and
one made by other code is never read.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
import hashlib
import json
import types
import typing
import zlib
from collections.abc import Callable, Iterable
from decimal import Decimal
from functools import cache
from itertools import chain, islice
from operator import attrgetter
from pathlib import Path
from typing import Any

from engine.state import Bed, Season

Column = list[Any]
# not kept: folded anew from the registrations
FROM_NAMES = ("plots", "customers", "crops", "settings", "overrides", "compost")
MADE_BY = (
    "state.py", "season.py", "season_farm.py", "season_field.py", "season_stock.py", "season_wants.py",
    "quantities.py", "checkpoint.py", "stored.py", "events.py",
)  # fmt: skip


@cache
def rules() -> str:
    """A mark of the code that the fold is made of."""
    folder = Path(__file__).parent
    return hashlib.sha256(b"".join((folder / name).read_bytes() for name in MADE_BY)).hexdigest()


def packed(season: Season) -> bytes:
    """The season as packed JSON."""
    return zlib.compress(json.dumps(as_json(season), separators=(",", ":")).encode(), 1)


def unpacked(data: bytes) -> Season:
    """The season of packed JSON, without the farm's names."""
    (season,) = _column(Season).read(json.loads(zlib.decompress(data)), 1)
    return typing.cast(Season, season)


def as_json(season: Season) -> Any:
    """The season as JSON columns; beds that hold nothing and know nothing are left out."""
    beds = {name: dataclasses.replace(bed, length_ft=None, width_in=None) for name, bed in season.beds.items()}
    kept = {name: bed for name, bed in beds.items() if bed != Bed(name, bed.plot)}
    emptied: dict[str, Any] = {name: type(getattr(season, name))() for name in FROM_NAMES}
    return _column(Season).write([dataclasses.replace(season, beds=kept, **emptied)])


@dataclasses.dataclass(frozen=True, slots=True)
class Codec:
    """How a column of one type becomes JSON, and that JSON, with the column's length, the column again."""

    write: Callable[[Column], Any]
    read: Callable[[Any, int], Column]


@cache
def _column(hint: Any) -> Codec:
    if isinstance(hint, types.UnionType):
        return _optional(hint)
    if isinstance(hint, types.GenericAlias):
        parts = typing.get_args(hint)
        if hint.__origin__ is tuple and Ellipsis not in parts:
            return _together(parts, lambda value: value, lambda *values: values)
        return _mapping(*parts) if hint.__origin__ is dict else _many(parts[0], typing.cast(Any, hint.__origin__))
    if dataclasses.is_dataclass(hint):
        hints, names = typing.get_type_hints(hint), [field.name for field in dataclasses.fields(hint)]
        parts = tuple(hints[name] for name in names)
        return _together(parts, attrgetter(*names), typing.cast(Any, hint))
    return _SIMPLE.get(hint, _PLAIN)


_PLAIN = Codec(lambda column: column, lambda column, length: column)
_SIMPLE: dict[Any, Codec] = {
    dt.date: Codec(
        lambda column: [day.toordinal() for day in column],
        lambda column, length: [dt.date.fromordinal(day) for day in column],
    ),
    Decimal: Codec(
        lambda column: [str(amount) for amount in column],
        lambda column, length: [Decimal(amount) for amount in column],
    ),
}


def _optional(hint: Any) -> Codec:
    """The places that are filled, and what fills them; a column of plain values may hold None as it is."""
    (kept,) = [part for part in typing.get_args(hint) if part is not types.NoneType]
    inner = _column(kept)
    if inner is _PLAIN:
        return _PLAIN

    def write(column: Column) -> Any:
        filled = [place for place, value in enumerate(column) if value is not None]
        return [filled, inner.write([column[place] for place in filled])]

    def read(written: Any, length: int) -> Column:
        column: Column = [None] * length
        filled = written[0]
        for place, value in zip(filled, inner.read(written[1], len(filled)), strict=True):
            column[place] = value
        return column

    return Codec(write, read)


def _together(parts: tuple[Any, ...], apart: Callable[[Any], Iterable[Any]], make: Callable[..., Any]) -> Codec:
    """A column for each part."""
    inner = [_column(part) for part in parts]

    def write(column: Column) -> Any:
        columns = list(zip(*map(apart, column), strict=True)) or [()] * len(inner)
        return [one.write(list(values)) for one, values in zip(inner, columns, strict=True)]

    def read(written: Any, length: int) -> Column:
        return list(map(make, *[one.read(values, length) for one, values in zip(inner, written, strict=True)]))

    return Codec(write, read)


def _many(part: Any, make: Callable[..., Any]) -> Codec:
    """How many each has, and all of them in one column."""
    inner = _column(part)

    def write(column: Column) -> Any:
        return [[len(many) for many in column], inner.write(list(chain.from_iterable(column)))]

    def read(written: Any, length: int) -> Column:
        all_of_them = iter(inner.read(written[1], sum(written[0])))
        return [make(islice(all_of_them, count)) if count else make() for count in written[0]]

    return Codec(write, read)


def _mapping(key: Any, value: Any) -> Codec:
    """A list of pairs."""
    pairs = _many(types.GenericAlias(tuple, (key, value)), dict)
    return Codec(lambda column: pairs.write([list(one.items()) for one in column]), pairs.read)
