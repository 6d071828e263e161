"""Notes that need no air: what lies in a barrier, and what comes at another time than it should."""

from dataclasses import replace

import pytest

from farglide.flightfile.flightfile import FlightFile
from farglide.plan.sortienotes import sortie_notes
from farglide.sortie.spec import Sortie


@pytest.fixture(scope="module")
def sortie(demo_flight: FlightFile) -> Sortie:
    return demo_flight.sortie


def test_a_plain_flight_has_nothing_to_note(sortie: Sortie) -> None:
    assert sortie_notes(sortie) == ()


def test_a_stand_in_the_wood_is_asked_about(sortie: Sortie) -> None:
    """The wood of the demo lies round 22 km east and 20 km south of home."""
    home, knap, gap = sortie.stands
    lost = replace(knap, lat_deg=-46.68, lon_deg=108.3)
    (note,) = sortie_notes(replace(sortie, stands=(home, lost, gap)))
    assert note == "stand Wether Knap lies inside Gollan Wood, closed forest: is that meant?"


def test_a_pack_after_the_launch_and_a_launch_in_the_dark_are_told(sortie: Sortie) -> None:
    late = replace(sortie.packs[0], on_after_launch_s=300.0)
    (note,) = sortie_notes(replace(sortie, packs=(late,)))
    assert note == "pack all is switched on 5 min after the launch"
    night = replace(sortie.launch, t_s=sortie.launch.t_s + 8 * 3600.0)
    assert "it is dark at the launch: no field counts as open" in sortie_notes(
        replace(sortie, launch=night)
    )


@pytest.mark.parametrize(
    ("said", "is_told"),
    [("16:10", True), ("16:40:00", True), ("20:10", False), ("when the sun is gone", False)],
)
def test_a_last_light_before_the_launch_is_told(sortie: Sortie, said: str, is_told: bool) -> None:
    home, *others = sortie.fields
    fields = (replace(home, last_light=said), *others)
    notes = sortie_notes(replace(sortie, fields=fields))
    assert bool(notes) is is_told
    assert all("comes before the launch at 16:40" in note for note in notes)
