"""Urgency: by what is left until the release is due, then by what changes or is odd."""

from dataclasses import replace

from farglide.chances.advising import advice_of, advisable
from farglide.chances.ensemble import Ensemble
from farglide.chances.informed import Informed
from farglide.chances.urgency import level_now
from farglide.outlook.advice import Advice, FieldNow, Level
from farglide.track.drift import Been

from .conftest import known_at


def test_levels_rise_as_the_release_comes_near(heard_demo: Ensemble, flown: Been) -> None:
    order = list(Level)
    found = [
        order.index(advice_of(known_at(heard_demo, flown, m), 60.0 * m, 60.0 * m).level)
        for m in (5.0, 70.0, 77.5)
    ]
    assert found == sorted(found)
    assert found[-1] == order.index(Level.NOW)


def field(state: str, until_s: float | None = None) -> FieldNow:
    then = None if until_s is None else "open"
    told = FieldNow(name="A", state="shut", chance_ratio=0.5, open_ratio=0.5,
                    until_after_launch_s=until_s, then=None)  # fmt: skip
    return replace(told, state=state, then=then)


def test_the_level_goes_by_what_is_left_then_by_what_is_odd(hour: Informed, advice: Advice) -> None:
    of, now_s = advisable(hour, 3600.0), 3600.0
    assert of.release is not None
    opens_s, by_s = of.release.from_after_launch_s, of.release.release_by_after_launch_s
    calm = (field("open"),)
    assert level_now(of._replace(release=None), now_s, (field("shut"),)) is Level.WATCH
    assert level_now(of._replace(release=None), now_s, calm) is Level.DECIDE
    assert level_now(of, by_s - 30.0, calm) is Level.NOW
    assert level_now(of, opens_s, calm) is Level.DECIDE
    floats = of._replace(known=hour._replace(floats_since_s=3000.0))
    leaks = of._replace(known=hour._replace(leaks=hour.leaks._replace(chance_ratio=0.95)))
    before_s = by_s - 1200.0
    assert before_s < opens_s
    assert level_now(floats, before_s, calm) is Level.DECIDE
    assert level_now(leaks, before_s, calm) is Level.DECIDE
    wide = of._replace(known=hour._replace(spread_ratio=0.0 * hour.spread_ratio + 2.0))
    assert level_now(wide, before_s, calm) is Level.WATCH
    told = of._replace(known=hour._replace(spread_ratio=0.0 * hour.spread_ratio + 1.0))
    assert level_now(told, before_s, calm) is Level.QUIET
    assert level_now(told, before_s, (field("shut", before_s + 300.0),)) is Level.WATCH
    assert level_now(told, before_s, (field("shut", before_s + 700.0),)) is Level.QUIET
