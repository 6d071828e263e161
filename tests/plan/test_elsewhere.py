"""Whole plans in other places and at other hours: meridian, hemisphere, midnight, summer time."""

import re
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from farglide.air.sounding import Sounding
from farglide.chances import making
from farglide.earth.clock import seconds_from_text
from farglide.outlook.outlook import Outlook
from farglide.plan.plan import plan
from farglide.sim.core.draws import Drawn, draw
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack
from farglide.sortie.spec import Sortie

from ..reading import answer_lines

ASKED = Grain(n_draws=100)

Planned = Callable[[Sortie], Outlook]


def said(outlook: Outlook) -> str:
    """Return the readable answer with its line breaks taken out."""
    return " ".join(" ".join(answer_lines(outlook)).split())


def at_longitude(sortie: Sortie, lon_deg: float) -> Sortie:
    """Return the whole flight turned round the Earth's axis."""
    turn = lon_deg - sortie.launch.lon_deg
    fields = tuple(
        replace(f, lon_deg=(f.lon_deg + turn + 180.0) % 360.0 - 180.0) for f in sortie.fields
    )
    # The same sun: four minutes earlier for each degree to the east.
    launch = replace(sortie.launch, lon_deg=lon_deg, t_s=sortie.launch.t_s - 240.0 * turn)
    return replace(sortie, launch=launch, fields=fields)


def test_across_the_180_degree_meridian_nothing_changes(
    sortie: Sortie, planned: Planned, demo: Outlook
) -> None:
    # The drift to the east and two fields lie beyond the meridian.
    turned = at_longitude(sortie, 179.9)
    outlook = planned(turned)
    assert [field.lon_deg < 0.0 for field in outlook.fields] == [False, True, True, True]
    assert outlook.ascent.burst.lon_deg < -179.0
    assert [field.bands for field in outlook.fields] == [field.bands for field in demo.fields]
    for one, other in zip(outlook.fields, demo.fields, strict=True):
        assert one.east_m == pytest.approx(other.east_m, abs=0.5)
    assert outlook.release is not None
    assert demo.release is not None
    assert outlook.release.chance_ratio == demo.release.chance_ratio
    assert outlook.release.window == demo.release.window
    assert outlook.sun.azimuth_deg == pytest.approx(demo.sun.azimuth_deg, abs=0.2)
    assert outlook.sun.field_bearing_deg == pytest.approx(demo.sun.field_bearing_deg, abs=1e-6)


def mirrored(sortie: Sortie) -> Sortie:
    """Return the flight with north and south changed over, half a year on."""
    launch = sortie.launch
    # 2027-07-24: the sun as far north as it is south on 2027-01-23 (19.5 degrees), and 5.4 min
    # earlier (equation of time -6.5 against -11.9 min: approximate solar coordinates of the
    # Astronomical Almanac, from memory).
    t_s = seconds_from_text("2027-07-24T09:34:36Z")
    fields = tuple(replace(field, lat_deg=-field.lat_deg) for field in sortie.fields)
    return replace(sortie, launch=replace(launch, lat_deg=-launch.lat_deg, t_s=t_s), fields=fields)


def mirrored_draw(*given: Any) -> Drawn:
    """Return draws whose winds err to the south where they erred to the north."""
    drawn = draw(*given)
    swarm = drawn.swarm
    turned = {name: -getattr(swarm, name) for name in ("out_north_mps", "home_north_mps")}
    return drawn._replace(swarm=swarm._replace(**turned))


def test_on_the_other_hemisphere_the_flight_is_its_mirror_image(
    sortie: Sortie, demo_sounding: Sounding, demo: Outlook, monkeypatch: pytest.MonkeyPatch
) -> None:
    there = mirrored(sortie)
    air = replace(
        demo_sounding,
        v_mps=-demo_sounding.v_mps,
        lat_deg=-demo_sounding.lat_deg,
        t_s=demo_sounding.t_s + there.launch.t_s - sortie.launch.t_s,
    )
    monkeypatch.setattr(making, "draw", mirrored_draw)
    outlook = plan(there, Pack(sounding=air), ASKED)
    assert outlook.side.axis_deg == pytest.approx(180.0 - demo.side.axis_deg, abs=3.0)
    assert outlook.ascent.farthest_km == pytest.approx(demo.ascent.farthest_km, rel=0.03)
    assert outlook.ascent.burst.lat_deg > 46.5 - 1.0
    for one, other in zip(outlook.fields, demo.fields, strict=True):
        assert one.north_m == pytest.approx(-other.north_m, abs=0.5)
        assert one.east_m == pytest.approx(other.east_m, abs=0.5)
        assert [band.state for band in one.bands if band.to_amsl_m - band.from_amsl_m > 800.0] == [
            band.state for band in other.bands if band.to_amsl_m - band.from_amsl_m > 800.0
        ]
    # The sun goes down in the north-west where it went down in the south-west.
    assert outlook.sun.azimuth_deg == pytest.approx(180.0 - demo.sun.azimuth_deg + 360.0, abs=2.0)
    assert outlook.sun.field_bearing_deg == pytest.approx(
        540.0 - demo.sun.field_bearing_deg, abs=3.0
    )


def launched(sortie: Sortie, time: str, zone: str) -> Sortie:
    t_s = seconds_from_text(time)
    return replace(sortie, launch=replace(sortie.launch, t_s=t_s, zone=zone), packs=())


def test_a_flight_across_midnight_keeps_its_clock(sortie: Sortie, planned: Planned) -> None:
    # 23:40 in a zone of UTC+14: the sun is that of 16:40 at the place, the clock goes past 00:00.
    outlook = planned(launched(sortie, "2027-01-23T09:40:00Z", "UTC+14:00"))
    text = said(outlook)
    assert "Saturday 23 January 2027, 23:40 (09:40 UTC)" in text
    assert "FL330 at 00:13" in text
    assert re.search(r"km going up, about 00:[45]\d to 00:5\d", outlook.verdict)
    assert "23:40–23:42" in text
    assert re.search(r"23:5\d–00:0\d", text)


def test_a_flight_across_the_change_to_summer_time_keeps_its_clock(
    sortie: Sortie, planned: Planned
) -> None:
    # Germany, Sunday 2027-03-28: at 02:00 (01:00 UTC) clocks go on to 03:00 (Directive 2000/84/EC).
    outlook = planned(launched(sortie, "2027-03-28T00:30:00Z", "Europe/Berlin"))
    text = said(outlook)
    assert "Sunday 28 March 2027, 01:30 (00:30 UTC)" in text
    assert "FL200 at 01:50" in text
    assert "FL330 at 03:03" in text
    assert "FL450 at 03:14" in text


def test_a_launch_the_evening_before_the_change_prints_the_evening_date(
    sortie: Sortie, planned: Planned
) -> None:
    # 2027-03-27 23:30 in Berlin is 22:30 UTC, still winter time.
    outlook = planned(launched(sortie, "2027-03-27T22:30:00Z", "Europe/Berlin"))
    assert "Saturday 27 March 2027, 23:30 (22:30 UTC)" in said(outlook)
