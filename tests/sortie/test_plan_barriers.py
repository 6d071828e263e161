"""Barriers in a plan: on the way from the planned release to the chosen field."""

import pytest

from farglide.air.column import Sounding
from farglide.chances.case import median_place, with_plain
from farglide.chances.ensemble import drawn_ensemble
from farglide.outlook.outlook import Outlook
from farglide.plan.places.barrier_heights import barrier_ways
from farglide.sortie.grain import Grain
from farglide.sortie.spec import Sortie


def test_the_wood_on_the_way_home_is_told_as_farglide_fields_tells_it(
    demo: Outlook, sortie: Sortie, demo_sounding: Sounding
) -> None:
    """From the same place and with the same draws; only the clock of the climb is coarser."""
    (way,) = demo.barriers
    assert demo.release is not None
    ensemble = drawn_ensemble(sortie, demo_sounding, Grain(n_draws=100))
    start = ("there", median_place(ensemble, demo.release.release_by_after_launch_s))
    (other,) = barrier_ways(with_plain(ensemble), start, (0,))
    assert (way.barrier, way.ahead, way.behind) == (other.barrier, other.ahead, other.behind)
    for one, same in zip(way.stations, other.stations, strict=True):
        assert one.ahead.amsl_m == pytest.approx(same.ahead.amsl_m, abs=60.0)
        assert one.ahead.error_free_amsl_m == pytest.approx(same.ahead.error_free_amsl_m, abs=60.0)
    (strip,) = demo.side.barriers
    assert strip.commit_amsl_m == way.stations[0].ahead.amsl_m
    assert 20e3 < strip.to_along_m < strip.from_along_m < 45e3
