"""A season as bytes and back: what happened on the farm, without its names, which are always taken fresh.

The layout follows the classes of `state.py` by itself; `rules` names the code that made a checkpoint, and one made by
other code is never read.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
import hashlib
import json
import types
import typing
import zlib
from collections.abc import Callable
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

from engine.state import Bed, Season

Step = Callable[..., Any]
FROM_NAMES = ("plots", "customers", "crops", "settings", "overrides")  # not kept: folded anew from the registrations
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
    season: Season = _reader(Season)(json.loads(zlib.decompress(data)))
    return season


def as_json(season: Season) -> Any:
    """The season as JSON lists in the order of the fields; beds that hold nothing and know nothing are left out."""
    beds = {name: dataclasses.replace(bed, length_ft=None, width_in=None) for name, bed in season.beds.items()}
    kept = {name: bed for name, bed in beds.items() if bed != Bed(name, bed.plot)}
    emptied: dict[str, Any] = {name: type(getattr(season, name))() for name in FROM_NAMES}
    return _writer(Season)(dataclasses.replace(season, beds=kept, **emptied))


@cache
def _writer(type_: Any) -> Step:
    match type_:
        case types.UnionType():
            write = _writer(_not_none(type_))
            return lambda value: None if value is None else write(value)
        case types.GenericAlias():
            return _writer_of_many(type_)
    if dataclasses.is_dataclass(type_):
        fields = [(field.name, _writer(hint)) for field, hint in _fields(type_)]
        return lambda value: [write(getattr(value, name)) for name, write in fields]
    return _WRITES.get(type_, _same)


def _writer_of_many(type_: Any) -> Step:
    parts = [_writer(part) for part in typing.get_args(type_) if part is not Ellipsis]
    if type_.__origin__ is dict:
        key, value = parts
        return lambda many: [[key(name), value(one)] for name, one in many.items()]
    if type_.__origin__ is tuple and Ellipsis not in typing.get_args(type_):
        return lambda many: [write(one) for write, one in zip(parts, many, strict=True)]
    return lambda many: [parts[0](one) for one in many]


@cache
def _reader(type_: Any) -> Step:
    match type_:
        case types.UnionType():
            read = _reader(_not_none(type_))
            return lambda value: None if value is None else read(value)
        case types.GenericAlias():
            return _reader_of_many(type_)
    if dataclasses.is_dataclass(type_):
        reads = [_reader(hint) for _, hint in _fields(type_)]
        make = typing.cast(Step, type_)
        return lambda row: make(*[read(one) for read, one in zip(reads, row, strict=True)])
    return _READS.get(type_, _same)


def _reader_of_many(type_: Any) -> Step:
    parts = [_reader(part) for part in typing.get_args(type_) if part is not Ellipsis]
    if type_.__origin__ is dict:
        key, value = parts
        return lambda rows: {key(name): value(one) for name, one in rows}
    if type_.__origin__ is tuple and Ellipsis not in typing.get_args(type_):
        return lambda row: tuple(read(one) for read, one in zip(parts, row, strict=True))
    made = tuple if type_.__origin__ is tuple else list
    return lambda rows: made([parts[0](one) for one in rows])


def _fields(type_: Any) -> list[tuple[dataclasses.Field[Any], Any]]:
    hints = typing.get_type_hints(type_)
    return [(field, hints[field.name]) for field in dataclasses.fields(type_)]


def _not_none(type_: Any) -> Any:
    (kept,) = [part for part in typing.get_args(type_) if part is not types.NoneType]
    return kept


def _same(value: Any) -> Any:
    return value


_WRITES: dict[Any, Step] = {dt.date: dt.date.toordinal, Decimal: str}
_READS: dict[Any, Step] = {dt.date: dt.date.fromordinal, Decimal: Decimal}
