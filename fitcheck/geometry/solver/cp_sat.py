"""Set-up of the constraint solver OR-Tools CP-SAT: one thread, a fixed seed, effort in its own time.

Its deterministic seconds are counted by what it does, not by a clock, so that an answer does not depend on
the machine. Lengths go to it as whole numbers, rounded by whoever asks so that what it places does fit.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal

# "found": a solution, not always the best; "none": there is proven to be none; "open": the effort is spent.
Status = Literal["found", "none", "open"]
# The sides of a rectangle, along x and along y: intervals of a model.
Sides = tuple[Any, Any]
# Lengths go to the solver in thousandths of a mm.
PER_MM = 1000
_WORKERS, _SEED = 1, 1


@dataclass(frozen=True, slots=True)
class Solved:
    """What the solver comes to. Its values may be asked for where the status is "found"."""

    status: Status
    solver: Any

    def value(self, variable: Any) -> int:
        """Return the value of a variable."""
        return int(self.solver.value(variable))

    def is_on(self, switch: Any) -> bool:
        """Tell whether a switch is on."""
        return bool(self.solver.boolean_value(switch))

    @property
    def bound(self) -> float:
        """What no solution does better than: a whole number, told as a float."""
        return float(self.solver.best_objective_bound)

    @property
    def status_name(self) -> str:
        """The solver's own word for how it ended."""
        return str(self.solver.status_name())


def new_model() -> Any:
    """Return a model without variables."""
    from ortools.sat.python import cp_model

    return cp_model.CpModel()


def solved(model: Any, effort_s: float, *, presolve: bool = True, probe: bool = True) -> Solved:
    """Solve a model within an effort, in the solver's deterministic seconds.

    presolve: rewrite the model first. probe: with trials of its switches and a search of its symmetries.
    """
    from ortools.sat.python import cp_model

    solver = cp_model.CpSolver()
    solver.parameters.num_workers = _WORKERS
    solver.parameters.random_seed = _SEED
    solver.parameters.max_deterministic_time = effort_s
    solver.parameters.cp_model_presolve = presolve
    if not probe:
        solver.parameters.cp_model_probing_level = 0
        solver.parameters.symmetry_level = 0
    status = solver.solve(model)
    if status in {cp_model.OPTIMAL, cp_model.FEASIBLE}:
        return Solved("found", solver)
    return Solved("none" if status == cp_model.INFEASIBLE else "open", solver)


def fixed_box(model: Any, low: Sequence[int], size: Sequence[int]) -> Sides:
    """Return the sides of a rectangle that is where it is."""
    along, across = (model.new_fixed_size_interval_var(low[axis], size[axis], "") for axis in (0, 1))
    return along, across


def optional_box(model: Any, low: Sequence[Any], size: Sequence[int], chosen: Any) -> Sides:
    """Return the sides of a rectangle that is there only where a switch is on."""
    along, across = (
        model.new_optional_fixed_size_interval_var(low[axis], size[axis], chosen, "") for axis in (0, 1)
    )
    return along, across


def keep_apart(model: Any, boxes: Sequence[Sides]) -> None:
    """Demand that no two of some rectangles overlap."""
    if len(boxes) > 1:
        model.add_no_overlap_2d([along for along, _ in boxes], [across for _, across in boxes])
