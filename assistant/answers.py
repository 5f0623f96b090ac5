"""The table of topics: which function of the engine answers, which words say it. Each is loaded when first asked."""

from __future__ import annotations

import importlib
import importlib.util
from collections.abc import Callable
from contextlib import AbstractContextManager, nullcontext
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from engine.asks import Ask
from engine.view import View

if TYPE_CHECKING:
    from engine.planner.search import Heed

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


PLAN_SECONDS = 8.0  # as long as a person at a prompt waits without wondering


@dataclass(frozen=True, slots=True)
class Patience:
    """How many seconds a plan of the whole farm may take, and what shows its progress meanwhile."""

    seconds: float = PLAN_SECONDS
    shown: Callable[[float], AbstractContextManager[Heed | None]] = lambda _: nullcontext()


def answer(view: View, ask: Ask, width: int, patience: Patience) -> tuple[Any, str]:
    """The engine's result for a question, and its plain text."""
    if ask.plan:
        return _plan(view, ask, width, patience)
    engine_home, wording_home = HOME[ask.topic]
    result = _function("engine", engine_home, ask.topic)(view, ask)
    return result, _function("assistant.wording", wording_home, ask.topic)(result, ask, width)


def _plan(view: View, ask: Ask, width: int, patience: Patience) -> tuple[Any, str]:
    """A plan of the whole farm; without the solver what the small, exact answer can say of the same days."""
    planning = importlib.import_module("assistant.wording.planning")
    if importlib.util.find_spec("highspy") is None:
        result, text = answer(view, replace(ask, plan=None), width, patience)
        return result, f"{planning.without_solver(width)}\n{text}"
    with patience.shown(patience.seconds) as heed:
        made = importlib.import_module("engine.planner.plan").asked_for(view, ask, patience.seconds, heed)
    return made, planning.plan(made, ask, width, stopped=getattr(heed, "stopped", False))


def _function(package: str, module: str, topic: str) -> Any:
    return getattr(importlib.import_module(f"{package}.{module}"), topic)
