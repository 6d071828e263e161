"""Delays: how long after a leak, and after the top, each alarm comes, at one false alarm in 20."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Final, NamedTuple

import numpy as np

from farglide.air.sounding import Sounding
from farglide.arrays import FloatArray
from farglide.chances.ahead import ahead, aloft_at
from farglide.chances.ensemble import Ensemble, drawn_ensemble
from farglide.chances.informed import LIKELY_RATIO
from farglide.chances.leaking import leaks_in
from farglide.sortie.grain import Grain
from farglide.sortie.spec import Sortie
from farglide.track.drift import Been
from farglide.track.floating import FLOATS_MPS, mean_climbs_mps

FROM_S: Final = 38.0 * 60.0
RATIO_PS: Final = 0.0007
"""Of the gas in a second at sea level: the demo's balloon then tops out about 45 min later."""
HANGS_S: Final = 180.0
FALSE_RATIO: Final = 0.05
_CLOCK_S: Final = 10.0
_HEIGHT_SD_M: Final = 5.0
_EVERY_S: Final = 60.0
_LEAST_S: Final = 900.0
_SOUND_S: Final = 75.0 * 60.0
_LEAKS_S: Final = 115.0 * 60.0
_TRUTH_SEED: Final = 4321


class Air(NamedTuple):
    """How fast the air rises and sinks, one deviation, over minutes."""

    name: str
    sd_mps: float


AIRS: Final = (Air("calm", 0.0), Air("1 m/s up and down over 3 min", 1.0))


class Climb(NamedTuple):
    """One climb as it is heard, and when it really stopped climbing; NaN: it never did."""

    been: Been
    topped_s: float


class Alarm(NamedTuple):
    """An alarm: how loud it is at each moment, larger for surer, and what it counts from."""

    name: str
    loudness: Callable[[Been], float]
    fixed: float
    counts_from: str


class Delays(NamedTuple):
    """What one alarm does in one air."""

    alarm: str
    air: str
    threshold: float
    false_ratio: float  # of sound flights, at the threshold that the ride has
    delays_s: FloatArray  # at one false alarm in 20; infinite where it never came
    fixed_s: FloatArray  # at the threshold of the ride


def alarms_of(before: Ensemble) -> tuple[Alarm, Alarm]:
    """Return the alarm of a leak, and that of a float."""

    def leak(been: Been) -> float:
        return leaks_in(before, been).chance_ratio

    return (
        Alarm("leak", leak, LIKELY_RATIO, "the hole"),
        Alarm("float", _unclimbed_mps, -FLOATS_MPS, "the top"),
    )


def _unclimbed_mps(been: Been) -> float:
    means = mean_climbs_mps(been)
    return -np.inf if not len(means) or np.isnan(means[-1]) else -float(means[-1])


def climbs(sortie: Sortie, sounding: Sounding, n: int, leaks: bool, air: Air) -> Iterator[Climb]:
    """Yield climbs of drawn balloons, leaking or not, as their tracker tells them in such air."""
    grain = Grain(n_draws=max(n, 50), seed=_TRUTH_SEED, clock_s=_CLOCK_S, prices_mps=(8.0,), slab=5)
    whole = drawn_ensemble(sortie, sounding, grain)
    tracks = _leaking(whole) if leaks else whole.climbs.tracks.amsl_m
    until_s = _LEAKS_S if leaks else _SOUND_S
    kept = np.exp(-_CLOCK_S / HANGS_S)
    for i, own_m in enumerate(tracks[:n]):
        z = own_m[: int(until_s / _CLOCK_S) + 1]
        z = z[np.isfinite(z)]
        rng = np.random.default_rng(i)
        rises = np.zeros(len(z))
        for k in range(1, len(z)):
            rises[k] = kept * rises[k - 1] + np.sqrt(1.0 - kept**2) * rng.standard_normal()
        moved = np.concatenate([[0.0], np.cumsum(_CLOCK_S * air.sd_mps * rises[1:])])
        heard = z + moved + _HEIGHT_SD_M * rng.standard_normal(len(z))
        t_s = _CLOCK_S * np.arange(len(z))
        yield Climb(Been(t_s, np.maximum(heard, 1.0), 0.0 * z, 0.0 * z), _topped_s(t_s, z))


def _leaking(whole: Ensemble) -> FloatArray:
    """Return the climbs with a hole from `FROM_S` on."""
    moment = round(FROM_S / _CLOCK_S)
    balloon = whole.climbs.balloon
    envelope = balloon.envelope._replace(leak_ratio_ps=RATIO_PS, leak_from_s=FROM_S)
    holed = replace(
        whole, climbs=replace(whole.climbs, balloon=balloon._replace(envelope=envelope))
    )
    widest_m = np.nanmax(whole.climbs.tracks.diameter_m[:, : moment + 1], axis=1)
    later = ahead(holed, aloft_at(whole, moment), widest_m, _LEAKS_S).climbs.tracks
    n = min(later.amsl_m.shape[1], whole.climbs.tracks.amsl_m.shape[1])
    first = np.arange(n) < moment
    return np.where(first, whole.climbs.tracks.amsl_m[:, :n], later.amsl_m[:, :n])


def _topped_s(t_s: FloatArray, amsl_m: FloatArray) -> float:
    """Return when it climbs slower than a float does through the air, and not again faster."""
    speeds = np.diff(amsl_m) / np.diff(t_s)
    fast = np.flatnonzero(speeds >= FLOATS_MPS)
    if not len(fast) or fast[-1] == len(speeds) - 1:
        return float("nan")
    return float(t_s[fast[-1] + 1])


def told(climb: Climb, alarm: Alarm) -> tuple[FloatArray, FloatArray]:
    """Return how loud an alarm is each minute of a climb: the times and the loudness."""
    been = climb.been
    at_s = np.arange(_LEAST_S, float(been.t_s[-1]), _EVERY_S)
    loud = [alarm.loudness(Been(*(one[been.t_s <= t] for one in been))) for t in at_s.tolist()]
    return at_s, np.array(loud)


def delays_in(alarm: Alarm, air: Air, sound: list[Climb], leaking: list[Climb]) -> Delays:
    """Return what an alarm does, its threshold set by sound flights."""
    loudest = np.array([told(one, alarm)[1].max() for one in sound])
    threshold = float(np.quantile(loudest, 1.0 - FALSE_RATIO, method="higher"))
    by_threshold: list[list[float]] = [[], []]
    for one in leaking:
        at_s, loud = told(one, alarm)
        begun_s = FROM_S if alarm.counts_from == "the hole" else one.topped_s
        for k, least in enumerate((threshold, alarm.fixed)):
            later = np.flatnonzero((loud > least) & (at_s > FROM_S))
            by_threshold[k].append(float(at_s[later[0]] - begun_s) if len(later) else np.inf)
    false = float((loudest > alarm.fixed).mean())
    return Delays(alarm.name, air.name, threshold, false, *map(np.array, by_threshold))


def delay_rows(found: list[Delays], n: int) -> list[str]:
    """Return the table."""
    heads = f"{'at 1 in 20':>12}{'50 %':>8}{'90 %':>8}   {'the ride: 50 %':>14}{'90 %':>8}"
    rows = [
        f"{n} sound climbs of 75 min, and {n} with a hole from T+38 that lets out 4 % of the gas a",
        "minute at sea level, so that they top out about T+80; told each 10 s, asked each minute.",
        "Minutes after the hole (leak), or after the climb through the air fell below 1 m/s",
        "(float), until half and nine tenths of the alarms have come: at one false alarm in 20",
        "sound climbs, and as the ride has them (leak from a chance of 0.5 on, float below 1 m/s),",
        "with its false alarms. Minus: before.",
        f"{'':7}{'air':30}{heads}{'false':>8}",
    ]
    for one in found:
        mark = f"{one.threshold:.3f}" if one.alarm == "leak" else f"{-one.threshold:.1f} m/s"
        cells = "".join(f"{_minutes(one.delays_s, q):>8}" for q in (0.5, 0.9))
        own = f"{_minutes(one.fixed_s, 0.5):>14}{_minutes(one.fixed_s, 0.9):>8}"
        rows.append(f"{one.alarm:7}{one.air:30}{mark:>12}{cells}   {own}{one.false_ratio:8.2f}")
    return rows


def _minutes(delays_s: FloatArray, share: float) -> str:
    """Return by when so many alarms have come; never where fewer do."""
    at_s = float(np.sort(delays_s)[int(np.ceil(share * len(delays_s))) - 1])
    return "never" if not np.isfinite(at_s) else f"{at_s / 60.0:.0f}"
