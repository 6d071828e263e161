"""Would open: the hints of a day without a release name what lacks, and no more."""

import math
import re
from dataclasses import replace

import numpy as np
import pytest

from farglide.air.column import Sounding
from farglide.flightfile.flightfile import FlightFile
from farglide.outlook.changes import LaunchSpot
from farglide.plan.planned import Planned, planned
from farglide.plan.release import would_open
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack


@pytest.fixture(scope="module")
def found(demo_flight: FlightFile, demo_sounding: Sounding) -> Planned:
    grain = Grain(n_draws=50, prices_mps=(8.0,), slab=5)
    return planned(demo_flight.sortie, Pack(sounding=demo_sounding), grain)


def spot(up_drift_m: float, chance_ratio: float) -> LaunchSpot:
    return LaunchSpot(
        up_drift_m=up_drift_m,
        across_m=0.0,
        chance_ratio=chance_ratio,
        shut_s=0.0,
        release_by_after_launch_s=4500.0,
    )


def lacking(found: Planned, **ratios: float) -> Planned:
    """Return the flight planned with these chances at every moment and field."""
    chances = found.chances
    flat = {name: np.full_like(getattr(chances, name), share) for name, share in ratios.items()}
    return replace(found, chances=replace(chances, **flat))


def test_the_best_launch_worth_it_is_named(found: Planned) -> None:
    none = lacking(found, reach_ratio=0.0, timely_ratio=0.0)
    (first, end) = would_open(none, (spot(20e3, 0.6), spot(30e3, 0.9), spot(40e3, 0.8)))
    assert first == "launch 30 km up-drift of Harrowend strip"
    (first, _) = would_open(none, (spot(-20e3, 0.6),))
    assert first == "launch 20 km down-drift of Harrowend strip"
    # the burst of the demo lies 39.3 km east and 34.8 km south of home, by an independent script
    told = re.fullmatch(r"a field under the end of the drift, (\d+) km toward (\d+) degrees", end)
    assert told is not None
    assert float(told[1]) == pytest.approx(math.hypot(39.3, 34.8), abs=1.0)
    assert float(told[2]) == pytest.approx(math.degrees(math.atan2(39.3, -34.8)), abs=1.0)
    assert would_open(none, (spot(30e3, 0.4),)) == (end,)


def test_what_lacks_is_named(found: Planned) -> None:
    links = lacking(found, reach_ratio=1.0, timely_ratio=1.0)
    packs = lacking(found, reach_ratio=1.0, timely_ratio=0.5)
    assert would_open(links, ())[-1].startswith("a stronger link, or a stand manned in time")
    assert would_open(packs, ())[-1] == "larger packs: by height alone a field is in reach"
    plain = found.case.plain
    haste = plain.reach.haste._replace(end_s=plain.draws.pack_end_s - 60.0)
    dark = replace(plain, reach=replace(plain.reach, haste=haste))
    late = replace(packs, case=replace(packs.case, plain=dark))
    assert would_open(late, ())[-1] == "an earlier launch: by height alone a field is in reach"


def test_without_a_field_one_is_to_be_prepared(found: Planned) -> None:
    bare = replace(found.case.drawn, sortie=replace(found.case.sortie, fields=()))
    none = replace(found, case=replace(found.case, drawn=bare))
    assert would_open(none, ()) == ("prepare a field: none is in the flight file",)
