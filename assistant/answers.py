"""The table of topics: which function of the engine answers, which words say it. Each is loaded when first asked."""

from __future__ import annotations

import importlib
from typing import Any

from engine.asks import Ask
from engine.view import View

# topic -> (module of the engine, module of the wording); the functions bear the topic's name
HOME = {
    "free_beds": ("beds", "beds"), "beds_now": ("beds", "beds"), "bed_story": ("bed_story", "beds"),
    "can_sell": ("supply", "supply"), "in_cooler": ("supply", "supply"), "to_harvest": ("harvest", "harvest"),
    "cut_again": ("recut", "harvest"), "ahead": ("ahead", "ahead"), "ready_when": ("ahead", "ahead"),
    "crop_story": ("ahead", "ahead"), "to_sow": ("sow_list", "sowing"), "sow_by": ("sowing", "sowing"),
    "fill_bed": ("filling", "filling"), "seed_needed": ("sowing", "sowing"), "recap": ("recap", "recap"),
    "last_time": ("last_time", "recap"), "money": ("money", "money"), "price": ("money", "money"),
    "orders": ("orders", "orders"), "to_do": ("work", "work"), "safe_to_harvest": ("safety", "safety"),
    "trace": ("trace", "trace"), "too_hot": ("heat", "work"),
}  # fmt: skip


def answer(view: View, ask: Ask, width: int) -> tuple[Any, str]:
    """The engine's result for a question, and its plain text."""
    engine_home, wording_home = HOME[ask.topic]
    result = _function("engine", engine_home, ask.topic)(view, ask)
    return result, _function("assistant.wording", wording_home, ask.topic)(result, ask, width)


def _function(package: str, module: str, topic: str) -> Any:
    return getattr(importlib.import_module(f"{package}.{module}"), topic)
