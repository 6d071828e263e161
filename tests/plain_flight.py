"""Whole flights in small steps of time, many side by side: the laws written out, to prove the fast.

From the package come only the column, the pull-out (proved by its own tests) and the speeds the
crew flies; climb, glide, hold and the earth are written out below.
"""

from typing import Any, Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from farglide.glider.release import Drop, Dropped, Start, _pull_out

FloatArray = NDArray[np.float64]

G0_MPS2: Final = 9.80665
RHO0_KGPM3: Final = 1.225
FLATTENING: Final = 1.0 / 298.257223563  # WGS84
EQUATOR_M: Final = 6_378_137.0


class PlainEnds(NamedTuple):
    """How each flight went."""

    burst: NDArray[np.bool_]
    release_s: FloatArray
    release_amsl_m: FloatArray
    over_amsl_m: FloatArray
    landed_s: FloatArray
    north_rad: FloatArray
    east_rad: FloatArray


class Here(NamedTuple):
    """The air around each flight."""

    p_pa: FloatArray
    t_k: FloatArray
    rho: FloatArray
    mu: FloatArray
    g: FloatArray
    slowing: FloatArray
    ground: FloatArray
    u: FloatArray
    v: FloatArray
    up: FloatArray


class PlainFlights:
    """A number of flights: one row a draw, each with its own release time."""

    def __init__(self, ensemble: Any, speeds: Any, orders: Any, drag: float) -> None:
        self.ensemble, self.orders, self.drag, self.speeds = ensemble, orders, drag, speeds
        layers = ensemble.air.scene.layers
        n = len(layers.p_pa)
        self.middle = layers.base_amsl_m + layers.step_m * (np.arange(n) + 0.5)
        self.base, self.step_m = layers.base_amsl_m, layers.step_m
        self.take_winds("out")
        lat0 = np.radians(ensemble.sortie.launch.lat_deg)
        self.lat0 = lat0

    def take_winds(self, way: str) -> None:
        """Fly on in the winds of the way out, or of the way home."""
        layers, swarm = self.ensemble.air.scene.layers, self.ensemble.draws.swarm
        self.u = layers.u_mps[0] + getattr(swarm, f"{way}_east_mps")
        self.v = layers.v_mps[0] + getattr(swarm, f"{way}_north_mps")
        self.up = swarm.rise_mps.astype(np.float64)

    def air(self, z: FloatArray) -> Here:
        """Return the air, straight lines between middles of layers, of logarithms for the thin."""
        layers = self.ensemble.air.scene.layers
        x = np.clip((z - self.base) / self.step_m - 0.5, 0.0, len(self.middle) - 1.000001)
        k = x.astype(np.int64)
        w = x - k
        row = np.arange(len(z))

        def line(values: FloatArray) -> FloatArray:
            return values[k] + w * (values[k + 1] - values[k])

        def own(values: FloatArray) -> FloatArray:
            return values[row, k] + w * (values[row, k + 1] - values[row, k])

        # below the lowest middle the air goes on as above it
        beyond = np.minimum((z - self.middle[0]) / self.step_m, 0.0)
        thicker = (layers.rho_kgpm3[1] / layers.rho_kgpm3[0]) ** beyond
        return Here(
            np.exp(line(np.log(layers.p_pa))) * thicker,
            line(layers.t_k),
            np.exp(line(np.log(layers.rho_kgpm3))) * thicker,
            line(layers.viscosity_pas),
            line(layers.gravity_mps2),
            line(layers.slowing_s2pm2),
            line(layers.shortening_ratio),
            own(self.u),
            own(self.v),
            own(self.up),
        )

    def radii(self, north_rad: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Return metres per radian of latitude and longitude. Source: as in `plain`."""
        lat = self.lat0 + north_rad
        e2 = FLATTENING * (2.0 - FLATTENING)
        w = 1.0 - e2 * np.sin(lat) ** 2
        return EQUATOR_M * (1.0 - e2) / w**1.5, EQUATOR_M / np.sqrt(w) * np.cos(lat)

    # --- the balloon ---------------------------------------------------------------------------

    def climb_factor(self, row: Any, amsl_m: FloatArray) -> FloatArray:
        """Return each draw's speed over that of its drag, given in the middles of 5 km bands."""
        factors = self.ensemble.draws.swarm.climb_factor[row]
        middles = 2500.0 + 5000.0 * np.arange(factors.shape[1])
        pairs = zip(amsl_m, factors, strict=True)
        return np.array([np.interp(z, middles, own) for z, own in pairs])

    def rise(
        self, air: Here, row: Any, gas_kg: FloatArray, amsl_m: FloatArray
    ) -> tuple[FloatArray, FloatArray]:
        """Return speed through the air and diameter of slack balloons of one drag coefficient."""
        envelope, swarm = self.ensemble.climbs.balloon.envelope, self.ensemble.draws.swarm
        volume_air_kg = (
            gas_kg * envelope.gas_per_air_constant * (1.0 + swarm.gas_warmer_k[row] / air.t_k)
        )
        diameter = (6.0 / np.pi * volume_air_kg / air.rho) ** (1.0 / 3.0)
        lift_n = (
            volume_air_kg - gas_kg - envelope.balloon_kg - self.ensemble.climbs.balloon.hanging_kg
        ) * air.g
        area = np.pi / 4.0 * diameter**2
        drag = self.drag * swarm.drag_factor[row]
        speed = np.sqrt(2.0 * np.abs(lift_n) / (drag * air.rho * area))
        speed *= self.climb_factor(row, amsl_m)
        return np.sign(lift_n) * speed, diameter

    def climb(
        self, until_s: FloatArray, step_s: float
    ) -> tuple[FloatArray, FloatArray, NDArray[np.bool_]]:
        """Return states (time, height, north, east) at burst or release, and who burst."""
        n = len(until_s)
        row = np.arange(n)
        y = np.zeros((4, n))
        y[0], y[3] = self.ensemble.sortie.launch.amsl_m, self.ensemble.draws.swarm.gas_kg
        envelope = self.ensemble.climbs.balloon.envelope
        t, burst, flying = np.zeros(n), np.zeros(n, np.bool_), np.ones(n, np.bool_)
        limit = self.ensemble.draws.swarm.burst_diameter_m

        def rates(y: FloatArray) -> tuple[FloatArray, FloatArray]:
            air = self.air(y[0])
            speed, diameter = self.rise(air, row, y[3], y[0])
            meridian, parallel = self.radii(y[1])
            leak = envelope.leak_ratio_ps * y[3] * np.sqrt(air.rho / RHO0_KGPM3)
            leak = np.where(t >= envelope.leak_from_s - 1e-9, leak, 0.0)
            return np.stack(
                [
                    speed + air.up,
                    air.v * air.ground / meridian,
                    air.u * air.ground / parallel,
                    -leak,
                ]
            ), diameter

        while flying.any():
            h = np.where(flying, np.minimum(step_s, until_s - t), 0.0)
            a, before = rates(y)
            b, _ = rates(y + h * a)
            ahead = y + 0.5 * h * (a + b)
            _, after = self.rise(self.air(ahead[0]), row, ahead[3], ahead[0])
            bursts = flying & (after > limit)
            share = np.where(bursts, (limit - before) / np.maximum(after - before, 1e-12), 1.0)
            y = y + share * (ahead - y)
            t = t + share * h
            burst |= bursts
            flying &= ~bursts & (t < until_s - 1e-9)
        return t, y[:3], burst

    def fallen(self, y: FloatArray, wait_s: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Return where all is that has fallen from rest, tied together, and how fast it falls."""
        mass_kg = (
            self.ensemble.climbs.balloon.envelope.balloon_kg
            + self.ensemble.climbs.balloon.hanging_kg
        )
        speed, left_s = np.zeros_like(wait_s), wait_s.copy()
        while (left_s > 1e-9).any():
            h = np.minimum(left_s, 0.1)
            air = self.air(y[0])
            settled = np.sqrt(2.0 * mass_kg * G0_MPS2 / (air.rho * self.orders.remains_area_m2))
            settled *= (air.rho / RHO0_KGPM3) ** 0.15  # slower aloft than drag alone
            after = speed + h * G0_MPS2 * (1.0 - (speed / settled) ** 2)
            y = self.drifted(y, h)
            y[0] -= h * (0.5 * (speed + after) - air.up)
            speed, left_s = after, left_s - h
        return y, speed

    # --- the glider ----------------------------------------------------------------------------

    def steady(
        self, air: Here, eas: FloatArray, factor: FloatArray, load: FloatArray
    ) -> tuple[FloatArray, FloatArray]:
        """Return level speed and sink: D = W (1 + r) sin, L = n W cos, found by fixed point."""
        polar = self.ensemble.craft.polar
        tas = eas * np.sqrt(RHO0_KGPM3 / air.rho)
        reynolds = air.rho * tas * polar.chord_m / air.mu
        growth = np.maximum(polar.reference_reynolds / reynolds, 1.0) ** polar.reynolds_exponent
        weight_n = polar.weight_n * air.g / G0_MPS2
        q_area = 0.5 * RHO0_KGPM3 * eas**2 * polar.area_m2
        sine = np.zeros_like(eas)
        for _ in range(5):  # each gains two digits
            lift_squared = (load * weight_n / q_area) ** 2 * (1.0 - sine**2)
            drag_n = (
                q_area
                * (polar.zero_lift_drag * growth + polar.induced_drag * lift_squared)
                / factor
            )
            sine = np.minimum(drag_n / (weight_n * (1.0 + air.slowing * eas**2)), 1.0)
        return tas * np.sqrt(1.0 - sine**2), tas * sine

    def layer(self, z: FloatArray) -> Any:
        """Return the layer below a height."""
        k = ((z - 1e-9 - self.base) / self.step_m).astype(np.int64)
        return np.clip(k, 0, len(self.middle) - 1)

    def crew_eas(self, z: FloatArray, angle: FloatArray) -> FloatArray:
        """Return the speed the crew flies: its table by layer and bearing, at no price of time."""
        table = self.speeds.eas_mps[0]
        n_bearing = table.shape[1]
        x = np.mod(angle / (2.0 * np.pi), 1.0) * n_bearing
        i = np.minimum(x.astype(np.int64), n_bearing - 1)
        k = self.layer(z)
        out: FloatArray = (1 - (x - i)) * table[k, i] + (x - i) * table[k, (i + 1) % n_bearing]
        return out

    def homeward(self, y: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Return rates on the track to the field, and the distance left."""
        goal, air = self.orders.goal, self.air(y[0])
        meridian, parallel = self.radii(y[1])
        mid = self.radii(0.5 * (y[1] + goal.north_rad))
        north, east = mid[0] * (goal.north_rad - y[1]), mid[1] * (goal.east_rad - y[2])
        away = np.hypot(north, east)
        n_unit, e_unit = north / np.maximum(away, 1e-3), east / np.maximum(away, 1e-3)
        tail = air.u * e_unit + air.v * n_unit
        side = air.v * e_unit - air.u * n_unit  # to the left of the track
        eas = self.crew_eas(y[0], np.arctan2(n_unit, e_unit))
        factor, flat = self.ensemble.draws.glide_factor, np.ones_like(eas)
        level, sink = self.steady(air, eas, factor, flat)
        top = self.speeds.fastest_mps[self.layer(y[0])]
        for _ in range(6):  # a cross wind of more than 0.95 of the airspeed is flown faster
            wanted = np.minimum(eas * np.abs(side) / 0.95 / np.maximum(level, 1.0), top)
            eas = np.maximum(eas, wanted)
            level, sink = self.steady(air, eas, factor, flat)
        held = np.minimum(np.abs(side), level)
        forward = tail + np.sqrt(level**2 - held**2)
        slip = side - np.sign(side) * held
        v_north = forward * n_unit + slip * e_unit
        v_east = forward * e_unit - slip * n_unit
        return np.stack(
            [-np.maximum(sink - air.up, 0.2 * sink), v_north * air.ground / meridian,
             v_east * air.ground / parallel]
        ), away  # fmt: skip

    def holding(self, y: FloatArray) -> FloatArray:
        """Return rates over the field: circles and legs, or facing a wind that beats them.

        Legs that sink as the turn does cost no height: below their speed it comes down as turning.
        """
        goal, air = self.orders.goal, self.air(y[0])
        factor = self.ensemble.draws.glide_factor
        wind, straight = np.hypot(air.u, air.v), np.ones_like(y[0])
        low, high = straight * goal.circle_eas_mps, self.speeds.fastest_mps[self.layer(y[0])]
        turning = self.steady(air, low, factor, straight * goal.circle_load)[1]
        for _ in range(20):  # the slowest speed that holds
            middle = 0.5 * (low + high)
            holds = self.steady(air, middle, factor, straight)[0] >= wind
            low, high = np.where(holds, low, middle), np.where(holds, middle, high)
        level, facing = self.steady(air, high, factor, straight)
        sink = np.maximum(turning, facing)
        slip = np.maximum(1.0 - level / np.maximum(wind, 1e-6), 0.0) * air.ground
        meridian, parallel = self.radii(y[1])
        return np.stack(
            [
                -np.maximum(sink - air.up, 0.2 * sink),
                air.v * slip / meridian,
                air.u * slip / parallel,
            ]
        )

    def down(self, t: FloatArray, y: FloatArray, step_s: float) -> tuple[FloatArray, ...]:
        """Return landing time, place and the height over the field, NaN where never there."""
        goal = self.orders.goal
        over = np.full(len(t), np.nan)
        flying = np.ones(len(t), np.bool_)
        while flying.any():
            h = np.where(flying, step_s, 0.0)
            there = ~np.isnan(over)
            away_rates, away = np.zeros_like(y), np.full(len(t), 1e12)
            if not there[flying].all():
                a, away = self.homeward(y)
                away_rates = 0.5 * (a + self.homeward(y + h * a)[0])
            rates = away_rates
            if there[flying].any():
                c = self.holding(y)
                rates = np.where(there, 0.5 * (c + self.holding(y + h * c)), away_rates)
            meridian, parallel = self.radii(y[1])
            gone = h * np.hypot(away_rates[1] * meridian, away_rates[2] * parallel)
            arrives = flying & ~there & (gone >= away)
            h = np.where(arrives, h * away / np.maximum(gone, 1e-9), h)
            lands = flying & (y[0] + h * rates[0] <= goal.ground_amsl_m)
            h = np.where(lands, (y[0] - goal.ground_amsl_m) / np.minimum(rates[0], -1e-9) * -1.0, h)
            arrives &= ~lands
            y = y + h * rates
            t = t + h
            over = np.where(arrives, y[0], over)
            y[1] = np.where(arrives, goal.north_rad, y[1])
            y[2] = np.where(arrives, goal.east_rad, y[2])
            flying &= ~lands
        return t, y[1], y[2], over

    # --- all of it -----------------------------------------------------------------------------

    def fly(self, release_s: FloatArray, step_s: float) -> PlainEnds:
        """Return how the flights go."""
        ensemble, orders = self.ensemble, self.orders
        self.take_winds("out")
        t, y, burst = self.climb(release_s, step_s)
        self.take_winds("home")
        wait = np.where(burst, ensemble.draws.reaction_s, 0.0)
        y, _ = self.fallen(y, wait)
        t = t + wait
        release_s, release_m = t.copy(), y[0].copy()
        lost, seconds = np.zeros_like(t), np.zeros_like(t)
        level_m = np.zeros_like(t)
        for i in range(len(t)):
            drop = Drop(ensemble.draws.drop_drag[i], *ensemble.craft.drop[1:])
            pull = _pull_out(
                Dropped(ensemble.craft.polar, drop, float(ensemble.draws.glide_factor[i])),
                ensemble.air.scene.layers,
                Start(float(y[0, i]), 0.0),
                orders.best_eas_mps,
            )
            lost[i], seconds[i], level_m[i] = pull.steady_lost_m, pull.steady_s, pull.level_lost_m
        y[0] -= level_m
        y = self.drifted(y, seconds)
        y[0] += level_m - lost
        landed, north, east, over = self.down(t + seconds, y, step_s)
        return PlainEnds(burst, release_s, release_m, over, landed, north, east)

    def drifted(self, y: FloatArray, seconds: FloatArray) -> FloatArray:
        """Return places after a drift with the wind of the layer."""
        k = ((y[0] - self.base) / self.step_m).astype(np.int64)
        row = np.arange(len(k))
        ground = self.ensemble.air.scene.layers.shortening_ratio[k] * seconds
        meridian, parallel = self.radii(y[1])
        return np.stack(
            [y[0], y[1] + self.v[row, k] * ground / meridian,
             y[2] + self.u[row, k] * ground / parallel]
        )  # fmt: skip
