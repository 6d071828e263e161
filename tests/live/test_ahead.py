"""Ahead: what a release needs is at hand before it, in the form in which it is asked then."""

from pathlib import Path

from farglide.live.ahead import for_release
from farglide.live.ride.slow import Maker
from farglide.sim.fly import stories
from farglide.sim.reach import spares
from farglide.sortie.spec import Sortie
from farglide.track.reports import Fix

from .made import begun

KERNELS = (spares._spares_some, stories._move_all)


def test_a_release_compiles_nothing_that_was_at_hand(
    tmp_path: Path, sortie: Sortie, make: Maker, climb: tuple[Fix, ...]
) -> None:
    for_release()
    before = [tuple(one.signatures) for one in KERNELS]
    assert all(before)
    crew = begun(tmp_path / "ride.log", sortie, make)
    crew.at(0.0)
    crew.types("launched")
    for fix in climb[1:60]:
        crew.hears(fix)
    crew.sums()
    crew.types("released")
    crew.at(640.0)
    crew.sums()
    assert crew.published[-1].after is not None
    assert [tuple(one.signatures) for one in KERNELS] == before
