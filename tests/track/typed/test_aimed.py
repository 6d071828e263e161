"""Directions: asked back where they point away from where it is seen or expected."""

import re
from dataclasses import replace

from farglide.track.typed.entries import Bearing
from farglide.track.typed.known import AskedBack, Known, Understood
from farglide.track.typed.typed import typed


def question(line: str, known: Known) -> AskedBack:
    found = typed(line, known)
    assert isinstance(found, AskedBack)
    return found


def test_a_bearing_the_wrong_way_round(known: Known) -> None:
    """From Stile Gap the balloon stands north by east, 25 deg or so."""
    found = question("a 200 40", known)
    assert found.why.startswith("From Stile Gap it should stand near 020°. 200° puts it ")
    assert found.why.endswith(" km from there or more.")
    assert found.alternatives[0].entry == Bearing(
        azimuth_deg=20.0, elevation_deg=40.0, stand="Stile Gap"
    )
    assert isinstance(typed("a 60 40", known), Understood)
    assert isinstance(typed("a 200 40", replace(known, last=None)), Understood)
    expected = replace(known, last=None, expected=known.last)
    assert question("a 200 40", expected).why == found.why  # where no fix tells, the plan does
    assert isinstance(typed("a 200 40", replace(known, t_s=known.t_s + 2000.0)), Understood)
    assert isinstance(typed("a 200 40", replace(known, stand="")), Understood)


def test_how_far_it_puts_the_glider_is_told(known: Known) -> None:
    """Straight behind it is as far as the stand itself; at right angles as far as that too."""
    behind, across = (question(f"a {deg}", known).why for deg in (200, 110))
    off_km = [float(re.findall(r"it (\d+) km", one)[0]) for one in (behind, across)]
    assert off_km[0] == off_km[1] > 0.0
