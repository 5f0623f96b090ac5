"""What the book writes down is what it reads back, to the last digit."""

from __future__ import annotations

import sys
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.errors import Unfit
from engine.events import Event, Harvested, from_json, to_json
from engine.stored import changed, fields_of, from_stored, made, to_stored

sys.path.insert(0, str(Path(__file__).parent))

from farm_events import ANY, FIRST  # lies beside its tests, outside any package


@given(ANY)
def test_an_event_is_read_back_as_it_was_stored(event: Event) -> None:
    assert from_stored(event.kind, to_stored(event)) == event


@given(ANY)
def test_an_event_of_the_contract_is_stored_as_the_same_event(event: Event) -> None:
    assert from_json(to_json(event)) == from_stored(event.kind, to_stored(event))


@given(st.decimals(allow_nan=False, allow_infinity=False, min_value=-(10**12), max_value=10**12))
def test_amounts_keep_every_digit(quantity: Decimal) -> None:
    event = Harvested(date=FIRST, crop="radish", beds=("Brook 1",), quantity=quantity, unit="lb")

    assert from_stored("harvested", to_stored(event)).quantity == quantity  # type: ignore[attr-defined]


@given(ANY)
def test_an_event_with_its_own_fields_put_over_it_is_the_same(event: Event) -> None:
    assert changed(event, fields_of(event)) == event


@given(ANY, st.text(min_size=1))
def test_a_field_that_no_record_of_that_kind_has_is_refused(event: Event, name: str) -> None:
    with pytest.raises(Unfit):
        made(event.kind, fields_of(event) | {f"no such {name}": 1})
