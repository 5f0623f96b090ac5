"""The one door to HiGHS: a programme goes in, values and a bound come out. `highspy` is imported only when asked."""

from __future__ import annotations

import importlib
import math
import os
import sys
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

from engine.planner.program import Program

A_LOOK = 14_000, 1.4  # columns, power: a programme of so many columns takes about a second from one look to the next
FEASIBLE = 2  # the solver's code of a feasible solution
ASKS_EVERY = 0.1  # seconds between two questions whether to go on


class NoSolverError(RuntimeError):
    """The solver is not installed; small questions still work, a plan does not."""


@contextmanager
def _silence() -> Iterator[None]:
    """Keeps the banner that the solver writes when it is first made, past Python, out of the conversation."""
    sys.stdout.flush()
    kept, nowhere = os.dup(1), os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, 1)
    try:
        yield
    finally:
        os.dup2(kept, 1)
        os.close(kept)
        os.close(nowhere)


@dataclass(frozen=True, slots=True)
class Answer:
    """What the solver found: the value of each column (None if nothing feasible was found), worth and bound."""

    values: Sequence[float] | None
    worth: float
    bound: float
    finished: bool


class Highs:
    """A programme loaded into HiGHS; bounds and wholeness of columns may be changed between runs.

    `go_on` is asked some times a second while it runs, and stops it by saying no. Work is counted in looks, which the
    solver takes at the same points of its search whatever the clock says; `worked` is all of it so far, in seconds of a
    machine that is not in a hurry.
    """

    def __init__(self, made: Program, seed: int = 0, go_on: Callable[[], bool] | None = None) -> None:
        try:
            self._library: Any = importlib.import_module("highspy")
        except ImportError as missing:
            raise NoSolverError("planning needs the solver HiGHS: pip install 'rowcall[plan]'") from missing
        self._numpy: Any = importlib.import_module("numpy")
        self.made = made
        with _silence():
            self._model: Any = self._library.Highs()
        for option, value in (("output_flag", False), ("threads", 1), ("random_seed", seed), ("parallel", "off")):
            self._model.setOptionValue(option, value)
        self._model.passModel(self._program(made))
        self._a_look = float((max(1, len(made.columns.worth)) / A_LOOK[0]) ** A_LOOK[1])
        self._looks, self._most_looks = 0, math.inf
        self._model.cbMipInterrupt.subscribe(self._look)
        self._go_on, self._asked = go_on, 0.0
        if go_on is not None:
            for moment in (self._model.cbMipInterrupt, self._model.cbSimplexInterrupt, self._model.cbIpmInterrupt):
                moment.subscribe(self._heed)

    def _heed(self, event: Any) -> None:
        """Stops the run where it is not to go on; asked at most every so often, since this is called all the time."""
        now = time.monotonic()
        if self._go_on is not None and now - self._asked >= ASKS_EVERY:
            self._asked = now
            if not self._go_on():
                event.interrupt()

    @property
    def worked(self) -> float:
        return self._looks * self._a_look

    def _look(self, event: Any) -> None:
        """Counts the looks and stops the run after the last one it was given."""
        self._looks += 1
        if self._looks >= self._most_looks:
            event.interrupt()

    def _program(self, made: Program) -> Any:
        numpy, library = self._numpy, self._library
        program = library.HighsLp()
        program.num_col_, program.num_row_ = len(made.columns.worth), len(made.rows.entries)
        program.sense_ = library.ObjSense.kMaximize
        program.offset_ = made.constant
        program.col_cost_ = numpy.array(made.columns.worth, dtype=float)
        program.col_lower_ = numpy.zeros(program.num_col_)
        program.col_upper_ = numpy.array(made.columns.upper, dtype=float)
        program.row_lower_ = numpy.array(made.rows.lower, dtype=float)
        program.row_upper_ = numpy.array(made.rows.upper, dtype=float)
        kinds = (library.HighsVarType.kContinuous, library.HighsVarType.kInteger)
        program.integrality_ = [kinds[whole] for whole in made.columns.whole]
        lengths = numpy.array([len(entries) for entries in made.rows.entries], dtype=numpy.int64)
        program.a_matrix_.format_ = library.MatrixFormat.kRowwise
        program.a_matrix_.start_ = numpy.concatenate(([0], numpy.cumsum(lengths))).astype(numpy.int32)
        flat = [entry for entries in made.rows.entries for entry in entries]
        program.a_matrix_.index_ = numpy.array([column for column, _ in flat], dtype=numpy.int32)
        program.a_matrix_.value_ = numpy.array([value for _, value in flat], dtype=float)
        return program

    def narrow(self, columns: Sequence[int], lower: Sequence[float], upper: Sequence[float]) -> None:
        """Sets the bounds of these columns."""
        numpy = self._numpy
        self._model.changeColsBounds(
            len(columns), numpy.array(columns, dtype=numpy.int32), numpy.array(lower, float), numpy.array(upper, float)
        )

    def wholly(self, columns: Sequence[int], whole: bool) -> None:
        """Makes these columns whole numbers, or lets them be any."""
        numpy = self._numpy
        kind = self._library.HighsVarType.kInteger if whole else self._library.HighsVarType.kContinuous
        kinds = numpy.full(len(columns), int(kind), dtype=numpy.uint8)
        self._model.changeColsIntegrality(len(columns), numpy.array(columns, dtype=numpy.int32), kinds)

    def start_from(self, values: Mapping[int, float]) -> None:
        """Hands the solver the whole-number columns of a plan to begin with; it works out the others itself."""
        numpy = self._numpy
        columns = numpy.array(list(values), dtype=numpy.int32)
        self._model.setSolution(len(values), columns, numpy.array(list(values.values()), dtype=float))

    def run(
        self, seconds: float, slack: float = 0.0, nodes: int | None = None, interior: bool = False,
        work: float = math.inf,
    ) -> Answer:  # fmt: skip
        """The best values found within the work, the seconds, the search nodes, or `slack` of the bound in money."""
        self._most_looks = self._looks + max(1.0, work // self._a_look)
        options: dict[str, Any] = {
            "time_limit": max(seconds, 0.01),
            "mip_rel_gap": 0.0,
            "mip_abs_gap": max(slack, 1e-6),
            "mip_max_nodes": nodes if nodes is not None else 2**31 - 1,
            "solver": "ipm" if interior else "choose",
        }
        for option, value in options.items():
            self._model.setOptionValue(option, value)
        self._model.run()
        return self._answer()

    def _answer(self) -> Answer:
        info, status = self._model.getInfo(), self._model.getModelStatus()
        found = info.primal_solution_status == FEASIBLE
        finished = status == self._library.HighsModelStatus.kOptimal
        mixed = info.mip_node_count >= 0
        bound = info.mip_dual_bound if mixed else info.objective_function_value if finished else float("inf")
        values = self._model.getSolution().col_value if found else None
        return Answer(values, info.objective_function_value if found else -float("inf"), bound, finished)
