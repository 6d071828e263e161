"""Numbers go out so that they come back to the last bit."""

from hypothesis import given
from hypothesis import strategies as st

from farglide.track.reports import Fix
from farglide.track.trackfiles.written import by_feed, longitude_text, number_text, said_beside

from .samples import mixed


@given(st.floats(-1e6, 1e6))
def test_a_number_comes_back_and_has_no_exponent(x: float) -> None:
    text = number_text(x)
    assert float(text) == x
    assert "e" not in text


def test_a_longitude_of_180_is_written_as_the_other_side() -> None:
    # GPX 1.1 schema, longitudeType: -180.0 <= value < 180.0 (from memory)
    assert [longitude_text(x) for x in (180.0, -180.0, 179.5)] == ["-180.0", "-180.0", "179.5"]


def test_fixes_are_parted_by_feed_in_their_order() -> None:
    parted = by_feed(mixed())
    assert [(feed, len(fixes)) for feed, fixes in parted.items()] == [
        ("glider", 6),
        ("Wagen <2> & Höhe", 3),
    ]
    assert [fix.t_s for fix in parted["glider"]] == sorted(fix.t_s or 0 for fix in parted["glider"])


def test_only_what_is_said_is_told() -> None:
    fix = Fix(feed="a", lat_deg=1.0, lon_deg=2.0, speed_mps=0.0)
    assert said_beside(fix, ("height_kind", "height_m", "speed_mps")) == [("speed_mps", "0.0")]
