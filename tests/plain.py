"""An obvious slow climb: small time steps, the laws written out, to prove the fast one against."""

import math
from bisect import bisect_right
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

AIR_JPKGK = 287.05287  # ISO 2533:1975, 2.1
SEA_LEVEL_KGPM3 = 1.225  # ISO 2533:1975, table 1

Air = Callable[[float], "AirHere"]
Line = tuple[float, float]


@dataclass(frozen=True, kw_only=True)
class AirHere:
    """The air at one height."""

    p_pa: float
    t_k: float
    rho_kgpm3: float
    u_mps: float
    v_mps: float
    up_mps: float


@dataclass(frozen=True, kw_only=True)
class PlainBalloon:
    """A balloon of slack or springy film, and what hangs below it."""

    balloon_kg: float
    hanging_kg: float
    gas_kg: float
    gas_jpkgk: float
    warmer_k: float = 0.0
    drag: tuple[Line, ...] = ((1e5, 0.30),)  # (Reynolds number, C_d), linear in ln Re between
    drag_factor: float = 1.0
    burst_m: float = 6.6
    shear_npm: float = 0.0
    slack_m: float = 1.0
    leak_ratio_ps: float = 0.0
    leak_from_s: float = 0.0
    climb_factors: Sequence[float] = (1.0,)  # of the speed, in the middles of bands of 5 km


@dataclass(kw_only=True)
class PlainTrack:
    """The climb at each step: what a slow twin has to say."""

    t_s: list[float] = field(default_factory=list)
    amsl_m: list[float] = field(default_factory=list)
    lat_deg: list[float] = field(default_factory=list)
    lon_deg: list[float] = field(default_factory=list)
    diameter_m: list[float] = field(default_factory=list)
    burst: tuple[float, float, float, float] | None = None  # s, m, lat, lon

    def at(self, t_s: float, values: Sequence[float]) -> float:
        """Return one of the lists at a moment, linear between steps."""
        i = min(max(bisect_right(self.t_s, t_s) - 1, 0), len(self.t_s) - 2)
        w = (t_s - self.t_s[i]) / (self.t_s[i + 1] - self.t_s[i])
        return values[i] + w * (values[i + 1] - values[i])


def gravity_mps2(amsl_m: float) -> float:
    """Return gravity. Source: US Standard Atmosphere 1976, eq. 17."""
    return 9.80665 * (6_356_766.0 / (6_356_766.0 + amsl_m)) ** 2


def viscosity_pas(t_k: float) -> float:
    """Return viscosity. Source: US Standard Atmosphere 1976, eq. 51 (Sutherland)."""
    return float(1.458e-6 * t_k**1.5 / (t_k + 110.4))


def drag_coefficient(table: Sequence[Line], reynolds: float) -> float:
    """Return C_d, linear in the logarithm of the Reynolds number, constant outside."""
    if reynolds <= table[0][0]:
        return table[0][1]
    for (re0, cd0), (re1, cd1) in pairwise(table):
        if reynolds <= re1:
            return cd0 + (cd1 - cd0) * math.log(reynolds / re0) / math.log(re1 / re0)
    return table[-1][1]


def film_pa(balloon: PlainBalloon, diameter_m: float) -> float:
    """Return the film's overpressure. Source: as in `farglide.balloon.envelope`."""
    x = diameter_m / balloon.slack_m
    if balloon.shear_npm == 0.0 or x <= 1.0:
        return 0.0
    return 4.0 * balloon.shear_npm / balloon.slack_m * (1.0 / x - x**-7) * (1.0 + 0.1 * x * x)


def volume_m3(balloon: PlainBalloon, gas_kg: float, air: AirHere) -> float:
    """Return the gas volume where film, gas and air pressure balance: by bisection."""
    gas_m3pa = gas_kg * balloon.gas_jpkgk * (air.t_k + balloon.warmer_k)
    low, high = 0.0, gas_m3pa / air.p_pa
    for _ in range(60):
        v = 0.5 * (low + high)
        squeezed = gas_m3pa / (air.p_pa + film_pa(balloon, (6.0 * v / math.pi) ** (1.0 / 3.0)))
        low, high = (v, high) if squeezed > v else (low, v)
    return 0.5 * (low + high)


def rise(balloon: PlainBalloon, gas_kg: float, air: AirHere, amsl_m: float) -> Line:
    """Return the speed through the air at which drag holds the lift, and the diameter.

    The slowest speed is sought upward from nothing, so that in a drag crisis the first is found.
    """
    v3 = gas_kg * balloon.gas_jpkgk * (air.t_k + balloon.warmer_k) / air.p_pa
    if balloon.shear_npm > 0.0:
        v3 = volume_m3(balloon, gas_kg, air)
    diameter = (6.0 * v3 / math.pi) ** (1.0 / 3.0)
    lift_kg = v3 * air.rho_kgpm3 - gas_kg - balloon.balloon_kg - balloon.hanging_kg
    pull_n = abs(lift_kg) * gravity_mps2(amsl_m)
    area = math.pi * diameter**2 / 4.0
    mu = viscosity_pas(air.t_k)

    def drag_n(v: float) -> float:
        cd = drag_coefficient(balloon.drag, max(air.rho_kgpm3 * v * diameter / mu, 1e-9))
        return cd * balloon.drag_factor * 0.5 * air.rho_kgpm3 * v * v * area

    low, high = 0.0, 0.25
    while drag_n(high) < pull_n:
        low, high = high, high + 0.25
    for _ in range(40):
        v = 0.5 * (low + high)
        low, high = (v, high) if drag_n(v) < pull_n else (low, v)
    factor = at_band(balloon.climb_factors, amsl_m)
    return factor * (0.5 * (low + high) if lift_kg > 0.0 else -0.5 * (low + high)), diameter


def at_band(factors: Sequence[float], amsl_m: float) -> float:
    """Return a factor given in the middles of bands of 5 km, linear between, constant outside."""
    middles = [2500.0 + 5000.0 * i for i in range(len(factors))]
    if amsl_m <= middles[0]:
        return factors[0]
    for (low_m, low), (high_m, high) in pairwise(zip(middles, factors, strict=True)):
        if amsl_m <= high_m:
            return low + (high - low) * (amsl_m - low_m) / (high_m - low_m)
    return factors[-1]


def metres_per_degree(lat_deg: float, amsl_m: float) -> Line:
    """Return metres flown at a height per degree of latitude and longitude on WGS84.

    Source: Torge and Mueller, Geodesy (4th ed. 2012), 4.1.2; height on a sphere of 6 371 008.8 m.
    """
    sine = math.sin(math.radians(lat_deg))
    w = 1.0 - 6.69437999014e-3 * sine * sine
    up = 1.0 + amsl_m / 6_371_008.8
    meridian = 6_378_137.0 * (1.0 - 6.69437999014e-3) / w**1.5
    parallel = 6_378_137.0 / math.sqrt(w) * math.cos(math.radians(lat_deg))
    return math.radians(meridian) * up, math.radians(parallel) * up


def plain_climb(
    balloon: PlainBalloon,
    air_at: Air,
    start: tuple[float, float, float],
    step_s: float,
    stop: Callable[[PlainTrack], bool],
) -> PlainTrack:
    """Return the climb from latitude, longitude and height, in Heun steps of one size."""
    lat, lon, z = start
    t, gas = 0.0, balloon.gas_kg
    track = PlainTrack()

    def rates(z_m: float, lat_deg: float, gas_kg: float) -> tuple[float, ...]:
        air = air_at(z_m)
        speed, diameter = rise(balloon, gas_kg, air, z_m)
        north, east = metres_per_degree(lat_deg, z_m)
        leak = balloon.leak_ratio_ps * gas_kg * math.sqrt(air.rho_kgpm3 / SEA_LEVEL_KGPM3)
        leak = leak if t >= balloon.leak_from_s - 1e-9 else 0.0
        return speed + air.up_mps, air.v_mps / north, air.u_mps / east, -leak, diameter

    while True:
        one = rates(z, lat, gas)
        for values, value in (
            (track.t_s, t), (track.amsl_m, z), (track.lat_deg, lat), (track.lon_deg, lon),
            (track.diameter_m, one[4]),
        ):  # fmt: skip
            values.append(value)
        if track.burst is None and one[4] >= balloon.burst_m:
            track.burst = _burst(track, balloon.burst_m)
        if stop(track):
            return track
        two = rates(z + step_s * one[0], lat + step_s * one[1], gas + step_s * one[3])
        z += 0.5 * step_s * (one[0] + two[0])
        lat += 0.5 * step_s * (one[1] + two[1])
        lon += 0.5 * step_s * (one[2] + two[2])
        gas += 0.5 * step_s * (one[3] + two[3])
        t += step_s


def _burst(track: PlainTrack, burst_m: float) -> tuple[float, float, float, float]:
    d = track.diameter_m
    w = (burst_m - d[-2]) / (d[-1] - d[-2]) if len(d) > 1 and d[-1] > d[-2] else 1.0
    lists = (track.t_s, track.amsl_m, track.lat_deg, track.lon_deg)
    a, b, c, e = ((1.0 - w) * x[max(len(x) - 2, 0)] + w * x[-1] for x in lists)
    return a, b, c, e
