"""What size is the tank really? The plan and the bow from a plain-water test, and which answers change.

The water poured to a level h is that of the tank as taped, what stands in it taken off, and what the true
plan adds: V(h) = V_taped(h) + a h + b h^2 / 2, a the area missing at the floor and b by how much it grows a
unit of height. Weighted least squares, each reading with the stated errors of the stick and of the water.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from fitcheck.geometry.liquid.fill_level import room_for_liquid
from fitcheck.questions.as_built.answer import AsBuilt, Change, corrected_tank
from fitcheck.questions.as_built.cautions import cautions_of
from fitcheck.questions.dip.answer import DipAnswer, Fits, MeasureAgain
from fitcheck.questions.dip.ask import dip
from fitcheck.things.part import Part
from fitcheck.things.reading import Reading
from fitcheck.things.shop import Shop
from fitcheck.things.solid import Floats
from fitcheck.things.tank import Tank
from fitcheck.words.errors import Refused
from fitcheck.words.progress import Progress, silent
from fitcheck.words.units import MM3_PER_LITRE, both_lengths

# A stick is read to about 1 mm; a water meter or a marked can is good to about 1 % (both common practice).
STICK_MM, WATER_SHARE = 1.0, 0.01
# Something is seen where it is at least twice its own standard error.
SEEN = 2.0
# Sizes that differ by more than this share are another tank, or a slip of the pen.
FAR_OFF = 0.25


@dataclass(frozen=True, slots=True)
class Errors:
    """Standard errors of the readings: of each level, and of each volume as a share of it."""

    stick_mm: float = STICK_MM
    water_share: float = WATER_SHARE


def as_built(
    tank: Tank,
    readings: Sequence[Reading],
    errors: Errors | None = None,
    parts: Iterable[Part] = (),
    progress: Progress = silent,
) -> AsBuilt:
    """Tell what size a tank really is, from a plain-water test, and which answers that changes.

    One or two readings give the plan only; three or more also the bow, where it shows. Length and width share
    the missing area as two tapes of equal error would.

    Parameters
    ----------
    tank : Tank
        As taped, a box, its inside corners rounded or not; what stands in it is taken off.
    readings : sequence of Reading
        Litres poured in all, and mm of water over the floor then; in any order.
    errors : Errors, optional
        Standard errors of stick and water; 1 mm and 1 % without.
    parts : iterable of Part
        Whose answers are asked for, as taped and as built.
    progress : callable
        Called after each part.

    Returns
    -------
    AsBuilt
        The fit in mm and mm2, each figure with its standard error, and the corrected tank: with the mean plan
        up to the highest level read, and a tape_tank that covers two standard errors and half of the bow.

    Raises
    ------
    Refused
        For a tank that is no box, for readings that are none, and for ones that are far from the tape.

    Notes
    -----
    Weighted least squares. Readings that scatter by more than was stated make the errors larger (chi squared
    a degree of freedom), never smaller.

    Examples
    --------
    >>> import fitcheck as fc
    >>> shop = fc.demo_shop()
    >>> test = [fc.Reading(100.0, 73.2), fc.Reading(200.0, 146.4), fc.Reading(300.0, 219.6)]
    >>> answer = fc.as_built(shop.tanks["T4"], test)
    >>> [round(side, 1) for side in answer.corrected.size_mm], answer.shows_bow
    ([1204.0, 608.0, 500.0], False)
    """
    errors, asked = errors or Errors(), tuple(parts)
    _check(tank, readings, errors)
    fit = _fitted(tank, readings, errors)
    corrected = _corrected(tank, fit.missing_mm2, fit.floor_error_mm2, fit.bow_mm)
    changes = []
    for part in asked:
        changes.append(_change(part, tank, corrected))
        progress()
    return AsBuilt(
        tank=tank,
        corrected=corrected,
        readings=tuple(readings),
        floor_mm2=tank.size_mm[0] * tank.size_mm[1] + fit.missing_at_floor_mm2,
        floor_error_mm2=fit.floor_error_mm2,
        bow_mm=fit.bow_mm,
        bow_error_mm=fit.bow_error_mm,
        shows_bow=fit.shows_bow,
        misfit=fit.misfit,
        left_l=fit.left_l,
        changes=tuple(changes),
        cautions=cautions_of(),
        asked=Shop.of(tank, *asked),
    )


@dataclass(frozen=True, slots=True)
class _Fit:
    """What the readings add to the taped plan: at the floor, and on the average up to the highest level."""

    missing_at_floor_mm2: float
    missing_mm2: float
    floor_error_mm2: float
    bow_mm: float
    bow_error_mm: float
    shows_bow: bool
    misfit: float | None
    left_l: tuple[float, ...]


def _fitted(tank: Tank, readings: Sequence[Reading], errors: Errors) -> _Fit:
    """Fit plan and, from three levels on, bow to the readings; a bow that does not show is left out again."""
    levels = np.array([reading.level_mm for reading in readings])
    water = np.array([reading.liquid_l for reading in readings]) * MM3_PER_LITRE
    room = room_for_liquid(tank)
    more = water - room.volume_below_mm3(levels)
    # What the stick is out by counts for the area that it stands on.
    sigma = np.hypot(errors.water_share * water, errors.stick_mm * np.array(room.plane_area_mm2(levels)))
    terms = [levels, levels**2 / 2.0] if len(set(levels.tolist())) >= 3 else [levels]
    found, cov, misfit = _least_squares(np.stack(terms, axis=1), more, sigma)
    top, length = float(levels.max()), tank.size_mm[0]
    bow, bow_error = 0.0, 0.0
    shows = False
    if len(found) == 2:
        bow, bow_error = found[1] * top / length, math.sqrt(cov[1, 1]) * top / length
        shows = abs(bow) >= SEEN * bow_error
        if not shows:
            found, cov, misfit = _least_squares(levels[:, None], more, sigma)
    growth = float(found[1]) if shows else 0.0
    fitted = found[0] * levels + growth * levels**2 / 2.0
    return _Fit(
        missing_at_floor_mm2=float(found[0]),
        missing_mm2=float(found[0]) + growth * top / 2.0,
        floor_error_mm2=math.sqrt(cov[0, 0]),
        bow_mm=float(bow) if shows else 0.0,
        bow_error_mm=float(bow_error),
        shows_bow=bool(shows),
        misfit=misfit,
        left_l=tuple(((more - fitted) / MM3_PER_LITRE).tolist()),
    )


def _least_squares(terms: Floats, values: Floats, sigma: Floats) -> tuple[Floats, Floats, float | None]:
    """Return the factors, their covariance, and the misfit (chi2 a degree of freedom, its root).

    Readings that scatter by more than was stated make the covariance larger, never smaller.
    """
    weighed = terms / sigma[:, None]
    size = np.abs(weighed).max(axis=0)
    cov = np.linalg.inv((weighed / size).T @ (weighed / size)) / np.outer(size, size)
    found: Floats = cov @ weighed.T @ (values / sigma)
    free = len(values) - len(found)
    if free <= 0:
        return found, cov, None
    misfit = math.sqrt(float((((values - terms @ found) / sigma) ** 2).sum()) / free)
    return found, cov * max(misfit, 1.0) ** 2, misfit


def _corrected(tank: Tank, missing_mm2: float, error_mm2: float, bow_mm: float) -> Tank:
    length, width, depth = tank.size_mm
    both = length**2 + width**2
    longer, wider = missing_mm2 * width / both, missing_mm2 * length / both
    if max(abs(longer) / length, abs(wider) / width) > FAR_OFF:
        raise Refused(
            f"{tank.name}: the water speaks of a plan {missing_mm2 / (length * width):+.0%} off the tape",
            "check the readings, their units, and what stands in the tank",
        )
    size = (length + longer, width + wider, depth)
    unsure = max(SEEN * error_mm2 * length / both, abs(bow_mm) / 2.0, tank.rules.tape_tank_mm)
    return corrected_tank(tank, size, unsure)


def _change(part: Part, taped: Tank, built: Tank) -> Change:
    was, now = dip(part, taped, with_cures=False), dip(part, built, with_cures=False)
    return Change(part.name, was.verdict, now.verdict, *_level(was, now))


def _level(*answers: DipAnswer) -> tuple[float | None, float | None, float | None, float | None]:
    fills = [a.advice.fill if isinstance(a, Fits | MeasureAgain) else None for a in answers]
    was, now = fills
    return (
        was.level_mm if was else None,
        now.level_mm if now else None,
        was.liquid_l if was else None,
        now.liquid_l if now else None,
    )


def _check(tank: Tank, readings: Sequence[Reading], errors: Errors) -> None:
    if not tank.is_box and tank.fillet_mm == 0.0:
        raise Refused(f"{tank.name} is given as a mesh", "a plan is fitted to a box tank, one with `inside`")
    if not readings:
        raise Refused("there are no readings", 'give them as "100 mm = 90 L, 200 mm = 181 L"')
    for reading in readings:
        if not 0.0 < reading.level_mm <= tank.depth_mm:
            raise Refused(
                f"a level of {both_lengths(reading.level_mm)} is not in {tank.name}",
                "levels are over its floor, up to the rim",
            )
        if not (reading.liquid_l > 0.0 and math.isfinite(reading.liquid_l)):
            raise Refused(
                f"{reading.liquid_l:g} L of water at {reading.level_mm:g} mm", "give more than none"
            )
    if not (
        errors.stick_mm >= 0.0 and errors.water_share >= 0.0 and errors.stick_mm + errors.water_share > 0.0
    ):
        raise Refused("readings without any error", "say how well the stick and the water are read")
