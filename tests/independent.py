"""Figures of the demo flight from separate small scripts, and how the plan finds its own.

The scripts are gone; tests/by_hand computes their figures again (test_by_hand.py and
test_chances_by_hand.py). They simplify: the climb starts at sea level, the glider keeps no energy
of slowing down, fields are asked of one climb without errors, chances are those of 200 draws.
Their winds err by 1.5 m/s and 8 % of the speed over 3 km of height, the same out and home.
A draw of theirs reaches what the best path through its own winds does, up to the speed limits.
`Runs` sets the plan's own functions to the same, or leaves them whole.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property
from typing import NamedTuple
from unittest import mock

import numpy as np
from best_path import on_best_paths

from farglide.air.column import AirColumn
from farglide.air.sounding import Sounding
from farglide.chances import making
from farglide.chances.case import with_plain
from farglide.chances.chances import chances_of_climb
from farglide.chances.decision import decide
from farglide.chances.ensemble import Ensemble, drawn_ensemble, plain_climbs, plain_ensemble
from farglide.chances.parts import Climbs
from farglide.chances.spells import shut_s
from farglide.chances.trial import drift_axis_rad, median_burst_s, moments_of
from farglide.chances.window import Decision
from farglide.earth.sun import sun_position, sunset_t_s
from farglide.outlook.gear import SunOutlook
from farglide.plan.ascent import LEVELS, level_amsl_m
from farglide.plan.home.homeward import Homeward, homeward
from farglide.plan.tables import sun_outlook
from farglide.sim.core.airerrors import AirDoubts, Along
from farglide.sim.core.release import Goals, goals_at
from farglide.sim.core.tracks import Point
from farglide.sim.fly.glide import Way
from farglide.sim.fly.passage import fly_way, from_launch_m
from farglide.sim.reach.drawnglider import DrawnGlider
from farglide.sortie.grain import Grain
from farglide.sortie.known import Known
from farglide.sortie.spec import Sortie

SEEDS = range(1, 13)
NECKS_KG = (1.4, 1.5, 1.6, 1.7)


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """A flight, its air, and whether the energy of slowing down counts."""

    sortie: Sortie
    sounding: Sounding
    slowing: bool

    def changed(self, section: str, **keys: object) -> "Case":
        """Return the case with keys of one part of its flight changed."""
        part = replace(getattr(self.sortie, section), **keys)
        return replace(self, sortie=replace(self.sortie, **{section: part}))

    def asked(self, held_eas_mps: float = 0.0) -> Grain:
        return Grain(prices_mps=(10.0,), slab=5, slowing=self.slowing, held_eas_mps=held_eas_mps)

    def ensemble(self, held_eas_mps: float = 0.0) -> Ensemble:
        return plain_ensemble(self.sortie, self.sounding, self.asked(held_eas_mps))

    def climb(self) -> Climbs:
        return plain_climbs(self.sortie, self.sounding, self.asked())

    def with_neck(self, lift_kg: float) -> "Case":
        return self.changed("balloon", neck_lift_kg=Known(value=lift_kg))

    def with_drag(self, coefficient: float) -> "Case":
        return self.changed("balloon", drag_table=((1e5, coefficient),))

    def with_diameter(self, share: float) -> "Case":
        known = self.sortie.balloon.burst_diameter_m
        return self.changed("balloon", burst_diameter_m=replace(known, value=known.value * share))

    def with_glide(self, share: float) -> "Case":
        known = self.sortie.glider.glide_factor
        return self.changed("glider", glide_factor=replace(known, value=known.value * share))

    def with_winds(self, share: float) -> "Case":
        s = self.sounding
        return replace(self, sounding=replace(s, u_mps=share * s.u_mps, v_mps=share * s.v_mps))

    def with_climb(self, share: float) -> "Case":
        """Return the case with this share of the climb speed, which goes with the root of drag."""
        return self.changed("balloon", drag_factor=Known(value=share**-2))


def burst_km(climbed: Climbs) -> float:
    return float(climbed.burst.amsl_m[0]) / 1e3


def burst_min(climbed: Climbs) -> float:
    return float(climbed.burst.after_launch_s[0]) / 60.0


def turns_min(ensemble: Ensemble, field: int = 0) -> list[float]:
    """Return the half minutes before the burst at which a field begins to be open or shut."""
    moments = np.arange(int(2.0 * burst_min(ensemble.climbs)) + 1)
    is_open = chances_of_climb(ensemble, moments).reach_ratio[:, field] > 0.5
    return [0.5 * (float(i) + 1.0) for i in np.flatnonzero(is_open[1:] != is_open[:-1])]


def reopens_min(case: Case) -> float:
    """Return when home opens for good."""
    return turns_min(case.ensemble())[-1]


def none_open_min(ensemble: Ensemble, fields: tuple[int, ...]) -> tuple[float, ...]:
    """Return first, last and number of the minutes T+3 to T+80 with none of some fields open."""
    reached = chances_of_climb(ensemble, np.arange(6, 161, 2)).reach_ratio[:, list(fields)] > 0.5
    none = 3.0 + np.flatnonzero(~reached.any(axis=1))
    return (float(none[0]), float(none[-1]), float(len(none))) if len(none) else (0.0, 0.0, 0.0)


def shut_by_spot_min(ensemble: Ensemble) -> tuple[float, ...]:
    """Return the minutes T+3 to T+80 with home shut for launches 0 to 80 km up-drift of it."""
    axis, frame, goals = drift_axis_rad(ensemble), ensemble.air.scene.frame, ensemble.goals
    along_m = 10_000.0 * np.arange(9.0)
    moved = goals_at(
        goals.north_rad[0] + along_m * np.cos(axis) / frame.meridian_m,
        goals.east_rad[0] + along_m * np.sin(axis) / (frame.normal_m * frame.cosine),
        np.full(9, goals.ground_amsl_m[0]),
        float(goals.arrival_amsl_m[0] - goals.ground_amsl_m[0]),
    )
    chances = chances_of_climb(ensemble, np.arange(6, 161, 2), moved)
    return tuple(float(n) for n in (chances.reach_ratio < 0.5).sum(axis=0))


class Chance(NamedTuple):
    """The means over the seeds of 200 draws each, and each seed's decision."""

    home: tuple[float, ...]  # home and whole at T+68/72/76/80
    with_packs: tuple[float, ...]
    whole: tuple[float, ...]  # at T+78/80
    reach: tuple[float, ...]  # home open at T+20/22/24/26/62/64
    apart: tuple[float, ...]  # the same with the glider's winds from other draws
    reopens: float
    shut: float
    decisions: tuple[Decision, ...]


def in_one_depth(sortie: Sortie, column: AirColumn) -> AirDoubts:
    """Return how the winds of the scripts err, wider above the top of the sounding."""
    layers, none = column.layers, np.zeros(len(column.layers.p_pa))
    known = 1.5 + 0.08 * np.hypot(layers.u_mps[0], layers.v_mps[0])
    share = np.clip((column.middles_amsl_m - column.beyond_amsl_m) / 3000.0, 0.0, 1.0)
    deep_mps = known + share * np.maximum(10.0 - known, 0.0)
    return AirDoubts(
        shallow_mps=none,
        deep_mps=deep_mps,
        deep_along_mps=deep_mps,
        slower_mps=none,
        along=Along(none, none),
        shallow_kept_ratio=none + 1.0,
        deep_kept_ratio=none + 1.0,
        grown_mps=none,
        grown_along_mps=none,
        vertical_mps=sortie.doubt.vertical_mps,
        deep_depth_m=none + 3000.0,
        grown_depth_m=none + 3000.0,
        shallow_depth_m=3000.0,
        vertical_depth_m=1000.0,
        step_m=layers.step_m,
    )


def drawn(case: Case, asked: Grain) -> Ensemble:
    """Return the draws of a case: simplified, in winds that err as those of the scripts."""
    if case.slowing:
        return drawn_ensemble(case.sortie, case.sounding, asked)
    with mock.patch.object(making, "air_doubts_of", in_one_depth):
        return drawn_ensemble(case.sortie, case.sounding, asked)


def apart_of(case: Case, seed: int) -> tuple[float, ...]:
    """Return how often home is open at T+62 and T+64, winds out and home of 1000 draws each."""
    asked = Grain(n_draws=1000, seed=seed, slowing=case.slowing, slab=5, prices_mps=(8.0,))
    ensemble = drawn(case, asked)
    others = drawn(case, replace(asked, seed=seed + 1000)).climbs.tracks
    torn = replace(ensemble, climbs=replace(ensemble.climbs, tracks=others))
    home = Goals(*(array[:1] for array in ensemble.goals))
    with on_best_paths():
        reach_ratio = chances_of_climb(torn, np.array([124, 128]), home).reach_ratio
    return tuple(float(share) for share in reach_ratio[:, 0])


def odds_of(case: Case) -> Chance:
    at, early = [136, 144, 152, 160], [40, 44, 48, 52, 124, 128]
    rows, decisions = [], []
    for seed in SEEDS:
        asked = Grain(n_draws=200, seed=seed, slowing=case.slowing, slab=5)
        ensemble = drawn(case, asked)
        moments, home = moments_of(ensemble), Goals(*(array[:1] for array in ensemble.goals))
        packs = chances_of_climb(ensemble, moments, home)
        never = ensemble.reach.haste._replace(end_s=np.full(200, 1e9))
        endless = replace(ensemble, reach=replace(ensemble.reach, haste=never))
        free = chances_of_climb(endless, moments, home)
        others = drawn(case, replace(asked, seed=seed + 1000, prices_mps=(8.0,))).climbs.tracks
        torn = replace(ensemble, climbs=replace(ensemble.climbs, tracks=others))
        apart = chances_of_climb(torn, np.array(early), home)
        opens = free.reach_ratio[:, 0] >= 0.9
        again = 0.5 * (1.0 + float(np.flatnonzero(~opens[:160])[-1]))
        rows.append(
            [
                *free.chance_ratio[at, 0],
                *packs.chance_ratio[at, 0],
                *(1.0 - free.burst_ratio[[156, 160]]),
                *free.reach_ratio[early, 0],
                *apart.reach_ratio[:, 0],
                again,
                shut_s(free, 0, case.sortie.wish, median_burst_s(ensemble)) / 60.0,
            ]
        )
        decision = decide(ensemble, packs)
        assert decision is not None
        decisions.append(decision)
    mean = [float(x) for x in np.mean(rows, axis=0)]
    return Chance(
        tuple(mean[:4]), tuple(mean[4:8]), tuple(mean[8:10]), tuple(mean[10:16]),
        tuple(mean[16:22]), mean[22], mean[23], tuple(decisions),
    )  # fmt: skip


class Runs:
    """What the figures of one case are read from, each run once."""

    def __init__(self, case: Case) -> None:
        self.case = case

    @cached_property
    def ensemble(self) -> Ensemble:
        return self.case.ensemble()

    @cached_property
    def fine(self) -> Ensemble:
        return with_plain(self.ensemble).plain

    @cached_property
    def chance(self) -> Chance:
        """Return the chances: simplified, of the best path, as the scripts have them."""
        if self.case.slowing:
            return self.straight
        with on_best_paths():
            return odds_of(self.case)

    @cached_property
    def straight(self) -> Chance:
        """Return the chances of the straight way, flown at the speeds of the forecast."""
        return odds_of(self.case)

    @cached_property
    def necks(self) -> list[Climbs]:
        return [self.case.with_neck(lift_kg).climb() for lift_kg in NECKS_KG]

    @cached_property
    def home(self) -> Homeward:
        return self.home_from(76)

    def home_from(self, minute: int) -> Homeward:
        found = homeward(self.fine, 2 * minute, 0)
        assert found is not None
        return found

    @cached_property
    def sun(self) -> SunOutlook:
        return sun_outlook(self.ensemble, 152, 0)

    @cached_property
    def height_km(self) -> tuple[float, ...]:
        """Return the balloon's height at each half minute."""
        return tuple(float(z) / 1e3 for z in self.ensemble.climbs.tracks.amsl_m[0])

    def place_km(self, moment: int) -> tuple[float, float]:
        tracks = self.ensemble.climbs.tracks
        north, east = float(tracks.north_rad[0, moment]), float(tracks.east_rad[0, moment])
        east_m, north_m = from_launch_m(self.ensemble.air.scene, north, east)
        return east_m / 1e3, north_m / 1e3

    def burst_place_km(self) -> tuple[float, float]:
        burst = self.ensemble.climbs.burst
        east_m, north_m = from_launch_m(
            self.ensemble.air.scene, float(burst.north_rad[0]), float(burst.east_rad[0])
        )
        return east_m / 1e3, north_m / 1e3

    def farthest_km(self) -> float:
        return max(
            float(np.hypot(*self.place_km(j)))
            for j in range(int(2 * burst_min(self.ensemble.climbs)))
        )

    def levels_min(self) -> tuple[float, ...]:
        """Return when the balloon passes FL100, 200, 330, 450 and 600."""
        track = [z for z in self.height_km if z == z]
        clock = 0.5 * np.arange(len(track))
        wanted = [level_amsl_m(self.ensemble, level) / 1e3 for level in LEVELS]
        return tuple(float(x) for x in np.interp(wanted, track, clock))

    def spares_km(self) -> tuple[float, ...]:
        """Return the greatest height over each field for a release at T+76."""
        flights = [homeward(self.fine, 152, field) for field in range(4)]
        return tuple(flight.spare_m / 1e3 for flight in flights if flight is not None)

    def spiral_min(self, sink_eas_mps: float) -> float:
        """Return how long a steady sink takes from the height of most spare to home."""
        layers, ground_m = self.fine.air.column.layers, self.case.sortie.fields[0].amsl_m
        middle = layers.base_amsl_m + layers.step_m * (np.arange(len(layers.p_pa)) + 0.5)
        inside = (middle > ground_m) & (middle < ground_m + self.home.spare_m)
        seconds = layers.step_m / (sink_eas_mps * layers.tas_per_eas[inside])
        return float(seconds.sum()) / 60.0

    def best_glide_min(self) -> float:
        """Return how long the flattest glide in still air takes from there, layer by layer."""
        still, ground_m = self.case.with_winds(0.0).ensemble(), self.case.sortie.fields[0].amsl_m
        start = Point(0.0, ground_m + self.home.spare_m, 0.0, 0.0)
        craft = DrawnGlider(
            still.craft.polar, still.craft.limits, float(still.draws.glide_factor[0])
        )
        flown = fly_way(still.air.scene, craft, Way(1.0, 0.0, 0.0), start, ground_m)
        return float(flown.after_s[-1]) / 60.0

    def burst_shares(self, *minutes: float) -> tuple[float, ...]:
        return tuple(float(self.ensemble.climbs.burst_share[0, round(2 * t)]) for t in minutes)

    def burst_within(self, *minutes: float) -> tuple[float, ...]:
        now, later = self.burst_shares(*minutes), self.burst_shares(*(t + 1 for t in minutes))
        return tuple((b - a) / (1.0 - a) for a, b in zip(now, later, strict=True))

    def suns(self) -> tuple[float, float]:
        launch = self.case.sortie.launch
        sun = sun_position(launch.t_s + 6000.0, launch.lat_deg, launch.lon_deg)
        return sun.azimuth_deg, sun.elevation_deg

    def nights(self) -> tuple[float, float, float]:
        launch, sun = self.case.sortie.launch, self.sun
        high_s = sunset_t_s(launch.t_s, launch.lat_deg, launch.lon_deg, 28_000.0)
        assert sun.sunset_after_launch_s is not None
        assert sun.dusk_after_launch_s is not None
        assert high_s is not None
        return (
            sun.sunset_after_launch_s / 60.0, sun.dusk_after_launch_s / 60.0,
            (high_s - launch.t_s) / 60.0,
        )  # fmt: skip


class Figure(NamedTuple):
    """One row of the page: independent values, and how the plan finds its own."""

    label: str
    values: tuple[float, ...]
    found: Callable[[Runs], tuple[float, ...]]
    within: float = 0.0  # may be missed by this
    share: float = 0.0  # or by this share
    step: float = 0.0  # of the clock that the values stand on


def moment(
    label: str, values: tuple[float, ...], found: Callable[[Runs], tuple[float, ...]]
) -> Figure:
    """Return a figure on the half-minute clock, to 1 min."""
    return Figure(label, values, found, 1.0, step=0.5)


def again(*cases: Callable[[Case], Case]) -> Callable[[Runs], tuple[float, ...]]:
    return lambda r: tuple(reopens_min(change(r.case)) for change in cases)


def scaled(name: str, *shares: float) -> Callable[[Runs], tuple[float, ...]]:
    return lambda r: tuple(reopens_min(getattr(r.case, name)(share)) for share in shares)


def each(
    value: Callable[[Climbs], float], *changed: tuple[str, float]
) -> Callable[[Runs], tuple[float, ...]]:
    """Return a value of the climbs with one thing changed each."""
    return lambda r: tuple(value(getattr(r.case, name)(to).climb()) for name, to in changed)


# Tolerances: times 1 min, places 0.3 km, heights 2 %, chance 0.05, minutes shut by launch spot 2,
# flight levels 0.3 min, heights of the burst by its diameter 30 m.
FIGURES: tuple[Figure, ...] = (
    Figure("Volume of hydrogen for 1.4, 1.5, 1.6, 1.7 kg: m³", (2.11, 2.19, 2.28, 2.37),
           lambda r: tuple(c.fill.volume_m3 for c in r.necks), share=0.02),
    Figure("Burst for these: km", (30.5, 30.2, 29.9, 29.7),
           lambda r: tuple(map(burst_km, r.necks)), share=0.02),
    Figure("Burst for these: T+", (95, 88, 83, 79), lambda r: tuple(map(burst_min, r.necks)), 1.0),
    Figure("Height at T+5 for 1.4, 1.6, 1.8 kg: m", (1196, 1352, 1480),
           each(lambda c: float(c.tracks.amsl_m[0, 10]),
                ("with_neck", 1.4), ("with_neck", 1.6), ("with_neck", 1.8)), share=0.02),
    Figure("Burst with a drag coefficient of 0.25, 0.35: T+", (75.8, 89.7),
           each(burst_min, ("with_drag", 0.25), ("with_drag", 0.35)), 1.0),
    Figure("Burst, diameter 10 and 5 % less, 5 and 10 % more: km higher", (-2.04, -1.0, 0.95, 1.87),
           lambda r: tuple(burst_km(r.case.with_diameter(k).climb()) - burst_km(r.ensemble.climbs)
                           for k in (0.9, 0.95, 1.05, 1.1)), 0.03),
    Figure("Burst: km", (29.95,), lambda r: (burst_km(r.ensemble.climbs),), share=0.02),
    Figure("Burst: T+", (83.0,), lambda r: (burst_min(r.ensemble.climbs),), 1.0),
    Figure("Burst: km east, north", (39.3, -34.8), lambda r: r.burst_place_km(), 0.3),
    Figure("T+40: km east, north", (33.8, -26.3), lambda r: r.place_km(80), 0.3),
    Figure("T+60: km east, north", (45.9, -36.0), lambda r: r.place_km(120), 0.3),
    Figure("T+76: km east, north", (43.2, -36.6), lambda r: r.place_km(152), 0.3),
    Figure("T+80: km east, north", (41.2, -35.7), lambda r: r.place_km(160), 0.3),
    Figure("Height at T+40, 60, 76, 80: km", (11.9, 19.2, 26.3, 28.3),
           lambda r: tuple(r.height_km[2 * t] for t in (40, 60, 76, 80)), share=0.02),
    Figure("Farthest from home: km", (59.2,), lambda r: (r.farthest_km(),), 0.3),
    Figure("FL100, 200, 330, 450, 600: T+", (11.1, 21.7, 34.5, 45.4, 57.7),
           lambda r: r.levels_min(), 0.3),
    moment("Home opens, shuts, opens: T+", (3, 28.5, 63), lambda r: tuple(turns_min(r.ensemble))),
    Figure("Height when last and when again open: km", (8.0, 20.4),
           lambda r: (r.height_km[round(2 * turns_min(r.ensemble)[1]) - 1],
                      r.height_km[round(2 * turns_min(r.ensemble)[2])]), share=0.02),
    moment("Tansy Lea opens, shuts, opens: T+", (8.5, 42.5, 50),
           lambda r: tuple(turns_min(r.ensemble, 1))),
    moment("Brackmoor, Corrand open: T+", (12.5, 16),
           lambda r: (*turns_min(r.ensemble, 2), *turns_min(r.ensemble, 3))),
    moment("No open field of home alone: first, last, minutes", (29, 62, 34),
           lambda r: none_open_min(r.ensemble, (0,))),
    moment("The same of home and Tansy Lea", (43, 49, 7),
           lambda r: none_open_min(r.ensemble, (0, 1))),
    Figure("Minutes without when Brackmoor, Corrand is added", (0, 0),
           lambda r: (none_open_min(r.ensemble, (0, 1, 2))[2],
                      none_open_min(r.ensemble, (0, 1, 3))[2])),
    moment("Home reopens, L/D 20 and 10 % less, 10 % more: T+", (69, 65.5, 60.5),
           scaled("with_glide", 0.8, 0.9, 1.1)),
    moment("Home reopens, winds 20 and 10 % less, 10, 20, 30 % more: T+",
           (51.5, 58, 67.5, 71, 73.5), scaled("with_winds", 0.8, 0.9, 1.1, 1.2, 1.3)),
    moment("Home reopens, climb 10 and 5 % less, 5 and 10 % more: T+", (73, 67.5, 58.5, 55),
           scaled("with_climb", 0.9, 0.95, 1.05, 1.1)),
    moment("One speed held: home shuts, reopens: T+", (20, 80.5),
           lambda r: tuple(turns_min(r.case.ensemble(r.ensemble.craft.best_eas_mps))[1:])),
    moment("Home reopens, drag as at high Reynolds numbers: T+", (58.5,),
           again(lambda c: c.changed("glider", reynolds_exponent=0.0))),
    Figure("Home shut of T+3 to T+80, launch 0, 10, 20, 30, 40 km up-drift: min",
           (34, 25, 16, 7, 9), lambda r: shut_by_spot_min(r.ensemble)[:5], 2.0, step=1.0),
    Figure("The same, 50, 60, 70, 80 km", (11, 13, 15, 17),
           lambda r: shut_by_spot_min(r.ensemble)[5:], 2.0, step=1.0),
    Figure("Burst by T+76, 78, 80, 82, 83, climb as planned", (0.002, 0.018, 0.093, 0.32, 0.49),
           lambda r: r.burst_shares(76, 78, 80, 82, 83), 0.05),
    Figure("Burst within 60 s if whole at T+76, 78, 80, 82", (0.004, 0.026, 0.099, 0.25),
           lambda r: r.burst_within(76, 78, 80, 82), 0.05),
    Figure("Home open and balloon whole, T+68, 72, 76, 80", (0.77, 0.89, 0.93, 0.73),
           lambda r: r.chance.home, 0.05),
    Figure("The same, packs counted", (0.76, 0.86, 0.91, 0.72), lambda r: r.chance.with_packs,
           0.05),
    Figure("Whole at T+78, 80, climb not known", (0.89, 0.74), lambda r: r.chance.whole, 0.05),
    Figure("Home open, T+20, 22, 24, 26, 62, 64", (0.90, 0.83, 0.74, 0.65, 0.42, 0.56),
           lambda r: r.chance.reach, 0.05),
    Figure("The first four, errors out and back drawn apart", (0.96, 0.92, 0.83, 0.71),
           lambda r: r.chance.apart[:4], 0.05),
    moment("Home reopens by 9 in 10: T+", (72,), lambda r: (r.chance.reopens,)),
    Figure("Home shut by 9 in 10: min", (53,), lambda r: (r.chance.shut,), 2.0, step=1.0),
    moment("Window ends, release by: T+", (76, 75.5),
           lambda r: (float(np.mean([d.last / 2 for d in r.chance.decisions])),
                      float(np.mean([d.release_by_s / 60 for d in r.chance.decisions])))),
    Figure("T+76: spare over the four fields: km", (15.9, 19.7, 22.7, 24.0),
           lambda r: r.spares_km(), share=0.02),
    Figure("Over home with most spare: T+", (102.4,),
           lambda r: (r.home.flattest.after_s[-1] / 60,), 1.0),
    Figure("Down from there in a firm spiral: min", (38.8,), lambda r: (r.spiral_min(4.5),), 1.0),
    Figure("Down at the flattest glide of each height: min", (140,),
           lambda r: (r.best_glide_min(),), 1.0),
    Figure("Quickest 300 m over home: T+", (98.4,), lambda r: (r.home.over_field_s / 60,), 1.0),
    Figure("Sun at T+76: azimuth, elevation, bearing of home: °", (257, 14, 310),
           lambda r: (r.sun.azimuth_deg, r.sun.elevation_deg, r.sun.field_bearing_deg), 1.0),
    Figure("Sun over home at T+100: azimuth, elevation: °", (253, 10), lambda r: r.suns(), 1.0),
    Figure("Sunset, dusk at home, sunset at 28 km: T+", (173, 208, 210), lambda r: r.nights(), 1.0),
)  # fmt: skip
