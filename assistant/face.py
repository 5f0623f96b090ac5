"""Turns, questions and results as JSON: the stable face that scripts, tests and other programs read."""

from __future__ import annotations

import dataclasses
import datetime as dt
import json
from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from assistant.turn import Json, Question, Turn
from engine.asks import Ask
from engine.events import number

STRETCH = {"start": "from", "end": "to"}  # "from" is a word of Python's own


def line(turn: Turn) -> str:
    """The turn as one line of JSON in plain ASCII, which no terminal and no encoding can trip over."""
    return json.dumps(turn_json(turn))


def turn_json(turn: Turn) -> Json:
    """The fields of the record contract, in its order."""
    return {
        "input": turn.input,
        "today": turn.today.isoformat(),
        "records": list(turn.records),
        "answers": list(turn.answers),
        "question": question_json(turn.question) if turn.question else None,
        "unread": list(turn.unread),
        "reply": turn.reply,
    }


def question_json(question: Question) -> Json:
    return {"about": question.about, "choices": list(question.choices), "text": question.text}


def answer_json(ask: Ask, result: Any) -> Json:
    """An answer: its topic, what the question was read as, and the result."""
    read_as = {STRETCH.get(name, name): value for name, value in plain(ask).items()}
    return {**read_as, "result": plain(result)}


def plain(value: Any) -> Any:
    """Any result as JSON values. A field that is None is absent; raises TypeError for what no result may hold."""
    match value:
        case None | bool() | str() | int():
            return value
        case Decimal():
            return number(value)
        case dt.date():
            return value.isoformat()
        case Mapping():
            return {_key(key): plain(item) for key, item in value.items()}
        case list() | tuple():
            return [plain(item) for item in value]
        case _ if dataclasses.is_dataclass(value) and not isinstance(value, type):
            return _fields(value)
        case _:
            raise TypeError(f"a result holds a {type(value).__name__}, which has no place in the contract")


def _fields(value: Any) -> Json:
    """A dataclass by its fields, without those that are only there for `why`; `yield_` is "yield", since the underscore
    is only there for Python."""
    shown = (field for field in dataclasses.fields(value) if not field.metadata.get("inner"))
    said = ((field.name.rstrip("_"), getattr(value, field.name)) for field in shown)
    return {name: plain(item) for name, item in said if item is not None}


def _key(key: Any) -> str:
    """A key as text; the parts of a compound one are joined by a blank ("radish lb")."""
    if isinstance(key, tuple):
        return " ".join(_key(part) for part in key if part is not None)
    return key if isinstance(key, str) else str(plain(key))
