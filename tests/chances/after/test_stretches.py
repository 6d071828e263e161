"""Stretches: what of a way counts as a straight glide, and what does not."""

import numpy as np
from bench.replays.reglided import glide_of

from farglide.chances.after.regliding import LEAST, glide_seen
from farglide.chances.after.stretches import Fixed, stretches_of
from farglide.sim.core.step import _metres_per_rad
from farglide.track.drift import Been

from .test_regliding import flight, truth, way


def test_turns_gaps_and_climbs_tell_nothing() -> None:
    known, plain = flight()
    speeds, home = plain.reach.reaches.speeds, known.air.home
    chance = np.random.default_rng(5)
    glides = glide_of(flight(), truth(1.0), way(0.5), chance)

    def n_of(been: Been) -> int:
        return len(stretches_of(known.ensemble, speeds, home, Fixed(been, 5.0)).amsl_m)

    assert n_of(glides) == 10
    turns = glide_of(flight(), truth(1.0), way(*(0.7 * np.arange(40.0))), chance)
    assert n_of(turns) == 0
    assert n_of(Been(*(one[::12] for one in glides))) == 0  # a fix a minute: anything between
    assert n_of(glides._replace(amsl_m=glides.amsl_m[::-1].copy())) == 0
    assert n_of(Been(*(one[:0] for one in glides))) == 0
    short = Been(*(one[: 12 * (LEAST - 1) + 1] for one in glides))
    assert glide_seen(known, plain, short, 5.0) is None


def test_a_circle_as_long_as_its_parts_is_no_straight_stretch() -> None:
    """Ten seconds a turn: the same place each time that a part ends, and no way made."""
    known, plain = flight()
    scene, home = known.ensemble.air.scene, known.air.home
    heights_m, t_s = known.ensemble.air.column.middles_amsl_m, np.arange(0.0, 600.0, 5.0)
    amsl_m, turn = 8_000.0 - 2.0 * t_s, 2.0 * np.pi * t_s / 10.0
    east_mps, north_mps = (
        np.interp(amsl_m, heights_m, wind[0] + home.mean_mps[:, j])
        for j, wind in enumerate((scene.layers.u_mps, scene.layers.v_mps))
    )
    meridian_m, parallel_m = _metres_per_rad(scene.frame, 0.0)
    north_rad = (24.0 * np.cos(turn) + 5.0 * np.cumsum(north_mps)) / meridian_m
    east_rad = (24.0 * np.sin(turn) + 5.0 * np.cumsum(east_mps)) / parallel_m
    been = Been(t_s, amsl_m, north_rad, east_rad)
    speeds = plain.reach.reaches.speeds
    some = stretches_of(known.ensemble, speeds, known.air.home, Fixed(been, 5.0))
    assert len(some.amsl_m) == 0


def test_height_flown_off_over_a_field_teaches_no_glide() -> None:
    """It stays over the place in the wind: through the air a straight way, and a steep one."""
    known, plain = flight()
    goals, t_s = known.ensemble.goals, np.arange(0.0, 600.0, 2.0)
    still = [np.full(len(t_s), float(one[0])) for one in (goals.north_rad, goals.east_rad)]
    been = Been(t_s, 14_000.0 - 8.0 * t_s, *still)
    assert glide_seen(known, plain, been, 5.0) is None
    away = been._replace(north_rad=still[0] + 0.003)  # 19 km off the same is no field's
    steep = away._replace(amsl_m=32_000.0 - 45.0 * t_s)
    assert glide_seen(known, plain, steep, 5.0) is None
