"""Launch places in barriers and behind them."""

import pytest

from farglide.atlas.barriers import Barrier
from farglide.atlas.outline import Outline
from farglide.sortie.launch_place import LaunchPlace, faults_of

HOME = (-46.5, 108.0)


def barrier(kind: str) -> Barrier:
    points = ((-46.45, 107.8), (-46.45, 107.9), (-46.3, 107.9), (-46.3, 107.8))
    return Barrier(name="Long Mere", kind=kind, outline=Outline(points=points))


def place(lat_deg: float, lon_deg: float, drive_s: float | None = None) -> LaunchPlace:
    return LaunchPlace(
        name="pasture", lat_deg=lat_deg, lon_deg=lon_deg, amsl_m=240.0, drive_s=drive_s
    )


@pytest.mark.parametrize("kind", ["water", "closed forest", "no landing"])
def test_nobody_launches_inside_a_barrier(kind: str) -> None:
    (fault,) = faults_of(place(-46.4, 107.85), HOME, (barrier(kind),))
    assert fault.what == f'lies in Long Mere, a barrier of kind "{kind}".'
    assert "take the place out" in fault.remedy


def test_behind_the_water_a_drive_must_be_stated() -> None:
    (fault,) = faults_of(place(-46.3, 107.6), HOME, (barrier("water"),))
    assert fault.what.startswith("lies behind Long Mere")
    assert fault.remedy == "Write drive_min from home, by the way round it."
    assert not [*faults_of(place(-46.3, 107.6, 3000.0), HOME, (barrier("water"),))]
    assert not [*faults_of(place(-46.3, 107.6), HOME, (barrier("closed forest"),))]
    assert not [*faults_of(place(-46.6, 108.3), HOME, (barrier("water"),))]
