"""Graded: how far a picture link is off its budget, by grades that were typed of it."""

from collections.abc import Sequence
from dataclasses import replace
from statistics import NormalDist
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.chances.ensemble import Ensemble
from farglide.outlook.advice import PictureOff
from farglide.radio.picture import picture_seen
from farglide.sim.core.tracks import Trails
from farglide.sim.hear.hearing import margins_db

VIEWER_DB: Final = 3.0
"""So far margins differ at which one viewer gives the same grade; common practice, no source."""
_OFFSETS_DB: Final = np.linspace(-60.0, 60.0, 481)
_FAR_DB: Final = 190.0
_APART_S: Final = 60.0


class Graded(NamedTuple):
    """One grade, at which stand it was seen, and where the balloon was then."""

    t_s: float  # after the launch
    stand: int
    amsl_m: float
    north_rad: float
    east_rad: float
    grade: int


class Offset(NamedTuple):
    """By how many decibels a link is better than its budget has it, one standard deviation."""

    mean_db: float
    sd_db: float


def with_grades(before: Ensemble, grades: Sequence[Graded]) -> tuple[Ensemble, PictureOff | None]:
    """Return the ensemble with its picture link moved by what was seen of it, and by how much.

    A grade is of the picture link that is strongest at that stand there. Grades within a minute
    are one. Without a picture link, a stand or a grade nothing is moved.
    """
    listening = before.listening
    rows = [] if listening is None else listening.rows("picture")
    kept = _apart(grades)
    if listening is None or not rows or not kept:
        return before, None
    flights = Trails(*(np.array([[getattr(one, name) for one in kept]]) for name in Trails._fields))
    margins = margins_db(
        listening.listeners, before.air.scene.frame, flights, before.workers
    ).astype(np.float64)
    strongest = [max(rows, key=lambda r: _told(margins, one, r, k)) for k, one in enumerate(kept)]
    row = max(set(strongest), key=strongest.count)
    expected = np.array([_told(margins, one, row, k) for k, one in enumerate(kept)])
    seen = [one.grade for one in kept]
    heard = np.flatnonzero(np.isfinite(expected) & (np.array(strongest) == row))
    spec, waves = before.sortie.links[row], listening.waves
    found = offset_by(
        expected[heard], [seen[k] for k in heard], spec.is_digital, float(waves.sd_db[row])
    )
    near_db, sd_db = waves.near_db.copy(), waves.sd_db.copy()
    near_db[row] += found.mean_db
    sd_db[row] = found.sd_db
    waves = waves._replace(near_db=near_db, sd_db=sd_db)
    ensemble = replace(before, listening=replace(listening, waves=waves))
    return ensemble, PictureOff(link=spec.name, offset_db=found.mean_db, offset_sd_db=found.sd_db)


def offset_by(
    expected_db: FloatArray, grades: Sequence[int], is_digital: bool, sd_db: float
) -> Offset:
    """Return how far a link is off, believed `sd_db` before, by grades at expected margins.

    A grade tells between which margins it is, give or take a viewer. Mean and deviation of what is
    believed then. Source: Bayes' rule; ordered probit, McCullagh, J. R. Stat. Soc. B 42 (1980),
    from memory.
    """
    log = -0.5 * (_OFFSETS_DB / max(sd_db, 0.1)) ** 2
    for margin_db, grade in zip(expected_db.tolist(), grades, strict=True):
        low_db, high_db = _span_db(grade, is_digital)
        at_db = margin_db + _OFFSETS_DB
        share = _below((high_db - at_db) / VIEWER_DB) - _below((low_db - at_db) / VIEWER_DB)
        log = log + np.log(np.maximum(share, 1e-12))
    weight = np.exp(log - log.max())
    weight /= weight.sum()
    mean = float(weight @ _OFFSETS_DB)
    return Offset(mean, float(np.sqrt(weight @ (_OFFSETS_DB - mean) ** 2)))


def _below(z: FloatArray) -> FloatArray:
    normal = NormalDist()
    return np.array([normal.cdf(one) for one in z.tolist()])


def _span_db(grade: int, is_digital: bool) -> tuple[float, float]:
    """Return from and up to which margin a grade is given."""
    missing = picture_seen(_FAR_DB, grade, is_digital)
    high_db = _FAR_DB - missing.least_db if missing.least_db > 0.0 else np.inf
    return _FAR_DB - missing.most_db, high_db


def _told(margins: FloatArray, one: Graded, row: int, k: int) -> float:
    found = float(margins[0, one.stand, row, k])
    return found if np.isfinite(found) else -np.inf


def _apart(grades: Sequence[Graded]) -> list[Graded]:
    """Return the last grade of each minute."""
    kept = list[Graded]()
    for one in sorted(grades, key=lambda each: each.t_s):
        if kept and one.t_s - kept[-1].t_s < _APART_S:
            kept[-1] = one
        else:
            kept.append(one)
    return kept
