"""Budget in words: the items add up to what is left over."""

from dataclasses import replace

from farglide.outlook.links import BudgetLine, HeardPoint, HeardStand
from farglide.plan.links.stands import budget_line
from farglide.present.say.links.hearing import budget_words
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


def test_the_words_carry_every_item() -> None:
    words = budget_words(made(LINK), 2.0)
    assert words == (
        "budget at T+74 from hill, 60 km: 31.0 dBm EIRP − 135.5 free space + 16.0 receiving "
        "antenna and cable − 3.0 else, −91.5 dBm received; 8.5 dB over the noise of −99.9 dBm, "
        "where 9.0 are needed: −1 dB in hand, give or take 2.0"
    )
    deaf = replace(LINK, receiver=Receiver(gain_dbi=0.0, sensitivity_dbm=-107.0))
    assert "−107.0 dBm are needed" in budget_words(made(deaf), 2.0)
