"""Budget: the items add up to what is left over."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from farglide.atlas.horizon import sky_line
from farglide.atlas.sweep import Sweep
from farglide.flightfile.flightfile import FlightFile
from farglide.gather.gather import gather_terrain
from farglide.outlook.links import (
    HIDDEN_DEG,
    NEAR_M,
    OVERHEAD_DEG,
    BudgetLine,
    HeardPoint,
    HeardStand,
)
from farglide.plan.links.stands import best_stands, budget_line, overhead_spans, sectors_deg, skies
from farglide.radio.link import Link, Receiver, Sender, margin_db
from farglide.rig.listening import listening_of, mast_of
from farglide.sim.hear.ears import CLEAR_M

LINK = Link(
    name="picture", purpose="picture", frequency_hz=2370e6, bandwidth_hz=16e6,
    sender=Sender(power_w=0.8, gain_dbi=2.0),
    receiver=Receiver(gain_dbi=18.0, loss_db=2.0, noise_figure_db=2.0, needed_ratio_db=9.0),
)  # fmt: skip


def made(link: Link, lost_db: float = 3.0) -> BudgetLine:
    """Return the budget at 60 km, so many decibels below free space, from the better of two."""
    point = HeardPoint(
        after_launch_s=4440.0, amsl_m=26e3, azimuth_deg=130.0, elevation_deg=30.0, range_m=60e3,
        slew_degps=0.0, sun_azimuth_deg=None, p10=0.0, p50=margin_db(link, 60e3, lost_db), p90=0.0,
        grade=3,
    )  # fmt: skip
    worse = replace(point, p50=point.p50 - 5.0)
    stands = [
        HeardStand(name=name, margin_db=(one,), silent=(), lost_agl_m=(), overhead=())
        for name, one in (("home", worse), ("hill", point))
    ]
    line = budget_line(link, stands, 4400.0)
    assert line is not None
    return line


def test_the_items_add_up() -> None:
    """Free space over 60 km at 2370 MHz: 135.5 dB (P.525); kTB of 16 MHz and 2 dB: -99.9 dBm."""
    line = made(LINK)
    assert line.stand == "hill"
    assert line.free_space_db == pytest.approx(135.506, abs=0.01)
    assert line.floor_dbm == pytest.approx(-99.93, abs=0.01)
    assert line.else_db == pytest.approx(-3.0, abs=1e-6)
    sum_dbm = line.eirp_dbm - line.free_space_db + line.receiving_db + line.else_db
    assert line.received_dbm == pytest.approx(sum_dbm)
    assert line.margin_db == pytest.approx(line.received_dbm - line.threshold_dbm)
    assert budget_line(LINK, [], 0.0) is None


POINT = HeardPoint(
    after_launch_s=0.0, amsl_m=20e3, azimuth_deg=0.0, elevation_deg=OVERHEAD_DEG + 1.0,
    range_m=NEAR_M + 1.0, slew_degps=0.0, sun_azimuth_deg=None, p10=0.0, p50=3.0, p90=6.0, grade=4,
)  # fmt: skip


def flown(is_high: str) -> list[HeardPoint]:
    return [
        replace(
            POINT, after_launch_s=60.0 * i, elevation_deg=POINT.elevation_deg - 5.0 * (one == ".")
        )
        for i, one in enumerate(is_high)
    ]


def test_stretches_are_joined_and_kept_apart() -> None:
    assert overhead_spans(flown("..##.#")) == ((120.0, 180.0), (300.0, 300.0))
    assert overhead_spans(flown("####")) == ((0.0, 180.0),)
    assert overhead_spans(flown("....")) == ()
    assert overhead_spans([]) == ()


def test_close_by_nothing_is_hard_to_hear() -> None:
    assert overhead_spans([replace(POINT, range_m=NEAR_M)]) == ()


POINT_PHASES = HeardPoint(
    after_launch_s=0.0, amsl_m=0.0, azimuth_deg=0.0, elevation_deg=0.0, range_m=1.0,
    slew_degps=0.0, sun_azimuth_deg=None, p10=0.0, p50=0.0, p90=0.0, grade=0,
)  # fmt: skip
MINUTES = (0.0, 1.0, 10.0, 60.0, 74.0, 75.0, 80.0, 94.0)
RELEASE_S = 74.0 * 60.0


def stand(name: str, *margins_db: float) -> HeardStand:
    points = tuple(
        replace(POINT_PHASES, after_launch_s=60.0 * minute, p50=db)
        for minute, db in zip(MINUTES, margins_db, strict=True)
    )
    return HeardStand(name=name, margin_db=points, silent=(), lost_agl_m=(), overhead=())


# behind the ridge for the first minutes, best up high, and blind to the field
HILL = stand("hill", -60.0, -40.0, 12.0, 6.0, 5.0, 8.0, 9.0, -20.0)
HOME = stand("home", 60.0, 50.0, 20.0, 3.0, 2.0, 4.0, 9.5, 17.0)


def test_each_phase_has_its_stand() -> None:
    found = best_stands([HOME, HILL], RELEASE_S)
    assert [(one.phase, one.stand, one.margin_db) for one in found] == [
        ("climb", "hill", 6.0),  # its weakest, from two minutes up, against 3 from home
        ("release", "hill", 5.0),
        ("way home", "hill", 8.0),
        ("arrival", "home", 17.0),
    ]


def test_without_a_way_home_only_the_climb_is_told() -> None:
    cut = [replace(one, margin_db=one.margin_db[:5]) for one in (HOME, HILL)]
    assert [one.phase for one in best_stands(cut, RELEASE_S)] == ["climb"]
    assert best_stands([], RELEASE_S) == ()


def test_the_sky_is_the_sky_line_of_the_ground(demo_flight: FlightFile) -> None:
    """The line itself is held against brute force over real ground in tests/atlas."""
    sortie = demo_flight.sortie
    terrain = gather_terrain(sortie)
    assert terrain is not None
    found = skies(sortie, listening_of(sortie, terrain))
    assert [one.stand for one in found] == [stand.name for stand in sortie.stands]
    for one, stand in zip(found, sortie.stands, strict=True):
        at = np.array([one.highest_azimuth_deg])
        sweep = Sweep(azimuths_deg=at, reach_m=60_000.0, step_m=90.0, clear_m=CLEAR_M)
        line = sky_line(terrain, mast_of(stand, terrain), sweep)
        assert one.highest_deg == pytest.approx(line.elevation_deg[0], abs=0.05)
        assert all(0.0 <= edge < 360.0 for span in one.hidden for edge in span)
        assert bool(one.hidden) == (one.highest_deg > HIDDEN_DEG)
    assert skies(sortie, None) == ()


def test_a_ridge_across_north_is_one_sector() -> None:
    high: NDArray[np.bool_] = np.zeros(72, np.bool_)
    high[68:] = high[:5] = high[30] = True
    assert sectors_deg(high, 5.0) == ((150.0, 150.0), (340.0, 20.0))
    assert sectors_deg(np.zeros(72, np.bool_), 5.0) == ()
    assert sectors_deg(np.ones(72, np.bool_), 5.0) == ((0.0, 360.0),)
