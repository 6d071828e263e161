"""Launch places and drives of a flight file: read, and refused all at once."""

from collections.abc import Callable
from typing import Any

import pytest

from farglide.flightfile.flightfile import FlightFile
from farglide.sortie.launch_place import LaunchPlace
from farglide.sortie.spec import DRIVER, SECOND_CREW

Document = dict[str, Any]
Read = Callable[[Document], FlightFile]
Refusals = Callable[[Document], list[str]]

PLACE = {"name": "Fern Moor", "lat_deg": -46.3, "lon_deg": 107.7, "amsl_m": 260, "drive_min": 50}


def test_a_place_is_read_with_what_the_crew_knows(document: Document, read: Read) -> None:
    known = {
        "owner": "agreed", "surface": "heather", "trees_upwind": "pines 20 m high",
        "obstacles": "a wire",
    }  # fmt: skip
    document["launch_places"] = [{**PLACE, **known}, {"lat_deg": -46.4, "lon_deg": 107.9}]
    document["launch"]["may_drive_min"] = 90
    sortie = read(document).sortie
    assert sortie.launch.may_drive_s == 5400.0
    first, second = sortie.launch_places
    assert first == LaunchPlace(
        name="Fern Moor", lat_deg=-46.3, lon_deg=107.7, amsl_m=260.0, drive_s=3000.0, **known
    )
    # the height of the launch stands in
    assert (second.name, second.amsl_m, second.drive_s) == ("launch place 2", 240.0, None)
    assert second.owner == "not asked"


def test_who_mans_a_stand_is_read(document: Document, read: Read, refusals: Refusals) -> None:
    document["stands"][1]["crew"] = "second crew"
    assert [one.crew for one in read(document).sortie.stands] == [DRIVER, SECOND_CREW, DRIVER]
    document["stands"][1]["crew"] = "nobody"
    (told,) = refusals(document)
    assert 'allowed: "driver" or "second crew"' in told


def test_a_stand_far_off_in_no_time_is_refused(document: Document, refusals: Refusals) -> None:
    """50 km straight in 15 min are 200 km/h."""
    stand = {"name": "far", "lat_deg": -46.05, "lon_deg": 108.0, "drive_min": 15}
    document["stands"].append(stand)
    (told,) = refusals(document)
    assert told.startswith("[[stands]] 4 drive: is 15 min for 50 km as the crow flies.")
    assert "Allowed: 23 min or more, 130 km/h straight there." in told
    assert 'crew = "second crew"' in told


def test_impossible_drives_and_places_are_told_at_once(
    document: Document, refusals: Refusals
) -> None:
    wood = {"lat_deg": -46.63, "lon_deg": 108.36, "name": "in the wood"}
    document["launch_places"] = [
        {**PLACE, "drive_min": 0}, wood, {**PLACE, "name": "fern moor"}, {**PLACE, "name": "off",
        "lat_deg": 46.3}, {"name": "behind", "lat_deg": -46.2, "lon_deg": 108.0},
    ]  # fmt: skip
    document["barriers"].append(
        {
            "name": "Mere",
            "kind": "water",
            "outline": [[-46.4, 107.95], [-46.4, 108.05], [-46.35, 108.05], [-46.35, 107.95]],
        }
    )
    told = refusals(document)
    assert any("[[launch_places]] 1 drive: is 0 min for 32 km" in one for one in told)
    assert any('"in the wood" lies in Gollan Wood, a barrier of kind' in one for one in told)
    assert any('[[launch_places]]: "fern moor" stands 2 times' in one for one in told)
    assert any('"off" lies 10' in one and "km from the launch" in one for one in told)
    assert any('"behind" lies behind Mere, a barrier of kind "water"' in one for one in told)
    assert not any("second crew" in one for one in told)


def test_a_launch_in_the_water_is_refused(document: Document, refusals: Refusals) -> None:
    outline = [[-46.6, 107.9], [-46.6, 108.1], [-46.4, 108.1], [-46.4, 107.9]]
    document["barriers"][0] |= {"kind": "water", "outline": outline}
    (told,) = refusals(document)
    assert 'lat_deg, lon_deg: lie in Gollan Wood, a barrier of kind "water"' in told


@pytest.mark.parametrize("broken", [{"lat_deg": 99.0}, {"lon_deg": "west"}])
def test_a_slip_is_told_once(document: Document, refusals: Refusals, broken: Document) -> None:
    document["launch_places"] = [{**PLACE, **broken}]
    assert len(refusals(document)) == 1


def test_a_broken_outline_does_not_hide_the_rest(document: Document, refusals: Refusals) -> None:
    document["barriers"].append(
        {
            "name": "knot",
            "outline": [[-46.0, 108.0], [-46.1, 108.1], [-46.0, 108.1], [-46.1, 108.0]],
        }
    )
    document["launch_places"] = [{"name": "w", "lat_deg": -46.63, "lon_deg": 108.36}]
    told = refusals(document)
    assert len(told) == 2
    assert any("lies in Gollan Wood" in one for one in told)
