"""Events as the book keeps them: JSON with amounts as decimal strings, so that nothing is rounded on the way."""

from __future__ import annotations

import dataclasses
import datetime as dt
import json
from collections.abc import Callable
from decimal import Decimal, InvalidOperation
from functools import cache
from typing import Any

from engine.errors import Unfit
from engine.events import KINDS, Event, Json, plain

Reader = Callable[[Any], Any]


def to_stored(event: Event) -> str:
    """The event as one line of JSON; `from_stored` gives it back exactly."""
    return json.dumps(fields_of(event), ensure_ascii=False, separators=(",", ":"))


def from_stored(kind: str, text: str) -> Event:
    """The event of a stored line; raises Unfit where the fields make none."""
    return made(kind, json.loads(text))


def fields_of(event: Event) -> Json:
    """The fields that were said or implied, by name, without the kind."""
    fields = {}
    for name in _names(event.kind):
        value = getattr(event, name)
        if value is not None:
            fields[name] = _exact(value)
    return fields


def made(kind: str, fields: Json) -> Event:
    """The event of these fields; raises Unfit where a name or a value does not belong."""
    event, readers = _readers(kind)
    try:
        return event(**{name: readers[name](value) for name, value in fields.items()})
    except (KeyError, TypeError, ValueError, InvalidOperation) as error:
        raise Unfit(f"That does not make a record of the kind {kind!r}: {error}.") from error


def changed(event: Event, replaces: Json) -> Event:
    """The event with some of its fields replaced; a field replaced by None is as if it had not been said."""
    fields = fields_of(event) | {name: value for name, value in replaces.items() if name != "kind"}
    return made(event.kind, {name: value for name, value in fields.items() if value is not None})


def plain_replaces(replaces: Json) -> Json:
    """Replaced fields as JSON values, numbers as numbers, as the record contract prints them."""
    return {name: plain(value) for name, value in replaces.items()}


@cache
def _names(kind: str) -> tuple[str, ...]:
    return tuple(field.name for field in dataclasses.fields(KINDS[kind]))


@cache
def _readers(kind: str) -> tuple[type[Event], dict[str, Reader]]:
    event = KINDS[kind]
    return event, {field.name: _reader(str(field.type)) for field in dataclasses.fields(event)}


def _reader(annotation: str) -> Reader:
    for start, reader in _BY_TYPE.items():
        if annotation.startswith(start):
            return reader
    return _same


def _same(value: Any) -> Any:
    return value


def _decimal(value: Any) -> Decimal:
    amount = value if isinstance(value, Decimal) else Decimal(str(value))
    if not amount.is_finite():
        raise ValueError(f"{value} is no amount")
    return amount


def _date(value: Any) -> dt.date:
    return value if isinstance(value, dt.date) else dt.date.fromisoformat(value)


_BY_TYPE: dict[str, Reader] = {"Decimal": _decimal, "dt.date": _date, "Beds": tuple}


def _exact(value: Any) -> Any:
    match value:
        case Decimal():
            return format(value, "f")
        case dt.date():
            return value.isoformat()
        case tuple():
            return list(value)
        case dict() | list():
            return plain(value)
        case _:
            return value
