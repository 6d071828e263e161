"""Sorties of the demo's gear on harder and easier days, each flown by every crew on one truth."""

from collections.abc import Collection, Iterator
from dataclasses import replace
from functools import cache
from typing import NamedTuple

from farglide.chances.ensemble import Ensemble
from farglide.cli.plan import DEMO
from farglide.compute import on_threads
from farglide.earth.geodesy import destination
from farglide.earth.state import place_of
from farglide.flightfile.flightfile import read_flight_file
from farglide.gather.gather import gather
from farglide.live.asking import as_planned
from farglide.live.rehearse.crew import CREWS, HOME, crew_of
from farglide.live.rehearse.ended import How
from farglide.live.rehearse.flown import let_go
from farglide.live.rehearse.rehearsal import Named, rehearsed
from farglide.live.rehearse.sitting import Look, Sitting
from farglide.live.rehearse.surprises import Changes
from farglide.live.rehearse.truth import truth_of
from farglide.outlook.rehearsal import Rehearsed, What
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack
from farglide.sortie.spec import Sortie

N_DRAWS = 300
_LATE_LOOK_S = 2700.0
"""Nobody lets go before: no window of these days begins lower."""
_EVERY_LOOK = 2


class Day(NamedTuple):
    """What makes a day harder than the demo's: older winds, and a launch down the drift."""

    name: str
    older_h: float
    down_drift_km: float


DAYS = (
    Day("as the demo", 0.0, 0.0),
    Day("winds 12 h older, launched 25 km down the drift", 12.0, 25.0),
    Day("winds 12 h older, launched 40 km down the drift", 12.0, 40.0),
)
_DRIFT_DEG = 130.0


class Tried(NamedTuple):
    """What was said of a release for home at a moment, and whether it would have come home."""

    sortie: int
    chance_ratio: float
    came: bool


class Flown(NamedTuple):
    """One truth: how each crew fared, and what releases at other moments would have come to."""

    sortie: int
    day: str
    told: dict[str, Rehearsed]
    tried: list[Tried]


@cache
def _demo() -> tuple[Sortie, Pack]:
    flight = read_flight_file(DEMO)
    assert flight.sortie.wind is not None
    pack = gather(flight.sortie, flight.path.parent / flight.sortie.wind.path, "")
    wish = replace(flight.sortie.wish, bring_to="home")
    bare = replace(
        flight.sortie, links=(), stands=(), terrain=None, fields=flight.sortie.fields[:1]
    )
    return replace(bare, wish=wish), pack


def planned_for(day: Day) -> Ensemble:
    """Return the plan of a day: home alone counts, no links, stands or barriers."""
    sortie, pack = _demo()
    home = place_of(sortie.launch)
    at = destination(home, _DRIFT_DEG, 1e3 * day.down_drift_km)
    launch = replace(sortie.launch, lat_deg=at.lat_deg, lon_deg=at.lon_deg)
    older = replace(pack.sounding, t_s=pack.sounding.t_s - 3600.0 * day.older_h,
                    lat_deg=at.lat_deg, lon_deg=at.lon_deg)  # fmt: skip
    moved = replace(sortie, launch=launch)
    return as_planned(moved, replace(pack, sounding=older), Grain(n_draws=N_DRAWS), on_threads(1))


def flown(days: tuple[Day, ...], n_truths: int, known: Collection[int]) -> Iterator[Flown]:
    """Yield how every crew fared on so many truths of each day, the days in turn.

    `known`: sorties that were flown before.
    """
    planned = [planned_for(day) for day in days]
    for k in range(n_truths):
        for number, day in enumerate(days):
            seed = 1000 * number + k + 1
            if seed in known:
                continue
            truth = truth_of(planned[number], Changes(), seed)
            yield flown_on(Sitting(planned[number], truth, seed, _LATE_LOOK_S), day.name)


def flown_on(sitting: Sitting, day: str) -> Flown:
    """Return how every crew fared on one truth, and what was told of it."""
    planned, seed = sitting.planned, sitting.seed
    told = {
        name: rehearsed(sitting, crew_of(name, planned), Named((), seed)).told for name in CREWS
    }
    ends_s = max(one.after_launch_s for each in told.values() for one in each.happened
                 if one.what is What.SENT)  # fmt: skip
    looks = sitting.looks(ends_s)[::_EVERY_LOOK]
    return Flown(seed, day, told, [*_tried(sitting, seed, looks)])


def _tried(sitting: Sitting, seed: int, looks: list[Look]) -> Iterator[Tried]:
    for t_s, advice in looks:
        if advice is not None and not sitting.lift.is_fallen(t_s):
            came = let_go(sitting.truth, sitting.lift, t_s, HOME).how is How.HOME
            yield Tried(seed, advice.fields[HOME].chance_ratio, came)
