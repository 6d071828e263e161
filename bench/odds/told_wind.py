"""Told wind: the fit of the wind's doubt in words: by class, the law, and where it is left out."""

from collections.abc import Sequence
from typing import Final

import numpy as np

from bench.odds.classes import Class, Free, free_fit, members, told, votes
from bench.odds.data import Flown
from bench.odds.fit_wind import (
    LOW_M,
    OLDEST_H,
    all_moments,
    climb_misses,
    fit_law,
    resampled_laws,
)
from bench.odds.law import WindLaw, said_by
from bench.odds.moments import Moments
from bench.odds.pairs import Pair, aged_pairs, apart_pairs
from bench.odds.resample import drawn_weights, interval, numbered
from farglide.arrays import FloatArray

SPANS: Final = (
    ("2-7 h", (2.0, 7.5), (0.0, 1.0)), ("9-27 h", (9.0, 27.0), (0.0, 1.0)),
    ("130-250 km", (0.0, 2.0), (20.0, 250.0)), ("250-450 km", (0.0, 2.0), (250.0, 450.0)),
)  # fmt: skip
"""Ages in hours and distances in kilometres, as the tables of honesty tell them."""
_UNITS: Final = (
    "m/s",
    "m/s",
    "of the variance",
    "m",
    "m/s",
    "of the variance",
    "m",
    "m/s",
    "m/s",
    "of size below",
    "of depth below",
    "of size below",
    "of depth below",
)
_FEWEST: Final = 5


def wind_rows(n_times: int) -> list[str]:
    """Return the fit with intervals, each from so many resamples."""
    pairs = [*aged_pairs(), *apart_pairs()]
    moments = all_moments(pairs)
    law = fit_law(moments, votes(moments))
    return [
        *_law_rows(moments, law, n_times),
        *_class_rows(moments, law, n_times // 2),
        *_scale_rows(law, pairs),
        *_left_out_rows(law, pairs),
    ]


def _law_rows(moments: Moments, law: WindLaw, n_times: int) -> list[str]:
    again = np.array(resampled_laws(moments, law, n_times))
    bounds = np.quantile(again, [0.05, 0.95], axis=0)
    rows = ["The law: fitted, and 5 to 95 % with days and places drawn anew."]
    columns = zip(WindLaw._fields, law, *bounds, _UNITS, strict=True)
    for name, value, low, high, unit in columns:
        rows.append(f"{name:17s}{value:9.2f} {unit:16s}({low:.2f} to {high:.2f})")
    return rows


def _class_rows(moments: Moments, law: WindLaw, n_times: int) -> list[str]:
    """Return each class with both errors free, with what was found, and what the law says."""
    rows = [
        "",
        "By class, all free: shallow and deep error, m/s and km; then root mean square in m/s and",
        "correlation over 0.5, 1 and 3 km, as found and as the law says.",
    ]
    said = said_by(law, moments)
    for one, here in members(moments):
        own = Moments(*(column[here] for column in moments))
        ours = own._replace(
            squares=(said.variance * moments.n_layers)[here],
            products=(said.covariance * moments.n_layers)[here],
        )
        flat = np.ones(len(own.n_layers))
        cells = f"found {_figures(told(own, flat))}   law {_figures(told(ours, flat))}"
        rows.append(f"{one.name:13s}{_free_words(one, own, n_times):68s}{cells}")
    return rows


def _free_words(one: Class, own: Moments, n_times: int) -> str:
    """Return both errors of a class with intervals; figures that are no pairs have none."""
    if one.name.startswith("fresh"):
        return "figures, not pairs"
    free = free_fit(own, np.ones(len(own.n_layers)))
    group, rng = np.unique(own.group, return_inverse=True)[1], np.random.default_rng(1)
    begin = Free(*np.maximum(free, 0.05))
    again = [free_fit(own, drawn_weights(group, rng) + 1e-9, begin)[:4] for _ in range(n_times)]
    low, high = np.quantile(again, [0.05, 0.95], axis=0)
    kilo = np.array([1.0, 1e3, 1.0, 1e3])
    cells = [
        f"{value:.1f} ({a:.1f}-{b:.1f})"
        for value, a, b in zip(free[:4] / kilo, low / kilo, high / kilo, strict=True)
    ]
    return " ".join(f"{cell:16s}" for cell in cells)


def _scale_rows(law: WindLaw, pairs: Sequence[Pair]) -> list[str]:
    rows = ["", "Scale of the mean error over a climb, to 10 km and to the top (1: as said)."]
    for name, (young, old), (near, far) in SPANS:
        some = [p for p in pairs if young <= p.age_h < old and near <= p.distance_km < far]
        cells = [_scale_words(law, some, top_m) for top_m in (LOW_M, np.inf)]
        rows.append(f"{name:13s}{len(some):5d} pairs   {cells[0]}   {cells[1]}")
    return rows


def _left_out_rows(fitted: WindLaw, pairs: Sequence[Pair]) -> list[str]:
    rows = ["", "Left out: the same scale under a law fitted without the campaign."]
    for name in campaigns(pairs):
        rest = [one for one in pairs if name not in halves(one)]
        out = [one for one in pairs if set(halves(one)) == {name} and one.age_h <= OLDEST_H]
        kept = all_moments(rest)
        law = fit_law(kept, votes(kept), fitted)
        scales = [_scale(law, out, top_m) for top_m in (LOW_M, np.inf)]
        rows.append(f"{name:22s}{len(out):5d} pairs   {scales[0]:.2f}   {scales[1]:.2f}")
    return rows


def campaigns(pairs: Sequence[Pair]) -> list[str]:
    """Return what can be left out and has pairs of its own enough to tell of."""
    names = [halves(one)[0] for one in pairs if len(set(halves(one))) == 1]
    return [name for name in sorted(set(names)) if names.count(name) >= _FEWEST]


def halves(pair: Pair) -> tuple[str, str]:
    """Return what each sounding of a pair is left out with."""
    return half_of(pair.forecast), half_of(pair.truth)


def half_of(flown: Flown) -> str:
    """Return the campaign of a sounding; Darwin in two halves of three days."""
    if flown.campaign != "Darwin":
        return flown.campaign
    return "Darwin, first half" if int(flown.day) < _SECOND_HALF else "Darwin, second half"


_SECOND_HALF: Final = 13_170  # 2006-01-22, in days since 1970


def _scale(law: WindLaw, pairs: Sequence[Pair], top_m: float) -> float:
    return float(np.sqrt((climb_misses(law, pairs, top_m) ** 2).mean()))


def _scale_words(law: WindLaw, pairs: Sequence[Pair], top_m: float) -> str:
    square = (climb_misses(law, pairs, top_m) ** 2).mean(axis=1)

    def root(weight: FloatArray) -> float:
        return float(np.sqrt((weight * square).sum() / weight.sum()))

    low, high = interval(root, numbered([pair.group for pair in pairs]), 400, 1)
    return f"{np.sqrt(square.mean()):.2f} ({low:.2f} to {high:.2f})"


def _figures(figures: tuple[float, ...]) -> str:
    return f"{figures[0]:4.1f} " + " ".join(f"{figure:5.2f}" for figure in figures[1:])
