"""Budget: the items add up to what is left over."""

from dataclasses import replace

import pytest

from farglide.outlook.links import BudgetLine, HeardPoint, HeardStand
from farglide.plan.links.budget import budget_line
from farglide.radio.link import Link, Receiver, Sender, margin_db

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
