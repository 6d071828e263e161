"""Places of a flight file: outlines, barriers and files of places, read, refused and gathered."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from farglide.atlas.outline import area_m2
from farglide.errors import ContradictionError, SourceError
from farglide.flightfile.flightfile import FlightFile, read_flight_file
from farglide.flightfile.sections.places import (
    BARRIERS,
    FIELDS,
    PLACES,
    STANDS,
    barriers_of,
    field_of,
    outline_problems,
    places_source,
)
from farglide.gather.gather import gather_places
from farglide.present.draw.maps.layers import WRITERS
from farglide.sortie.sources import BarrierSource, PlacesSource
from farglide.sortie.spec import StandSpec

from ..conftest import Entered, Told

Document = dict[str, Any]
Put = Callable[[Document, str, Document], Document]
Read = Callable[[Document], FlightFile]
Refusals = Callable[[Document], list[str]]

STRIP = [[-46.798, 108.622], [-46.798, 108.626], [-46.802, 108.626], [-46.802, 108.622]]
SQUARE = [[-46.6, 108.1], [-46.6, 108.3], [-46.5, 108.3], [-46.5, 108.1]]
CROSSED = [SQUARE[0], SQUARE[2], SQUARE[1], SQUARE[3]]


def test_the_wood_of_the_demo(demo_flight: FlightFile) -> None:
    (wood,) = demo_flight.sortie.barriers
    assert (wood.name, wood.kind) == ("Gollan Wood", "closed forest")
    # By hand, in the plane of the kilometres of its corners: 270 km2 by the shoelace formula.
    corners = (
        (32.3, -3.6), (35.4, -7.5), (39.1, -9.4), (32.6, -15.6), (27.6, -23.1), (20.6, -29.1),
        (16.0, -36.9), (12.8, -32.9), (9.1, -31.1), (16.3, -24.1), (22.0, -15.8), (28.3, -10.7),
    )  # fmt: skip
    after = (*corners[1:], corners[0])
    twice = sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(corners, after, strict=True))
    assert area_m2(wood.outline) == pytest.approx(0.5e6 * abs(twice), rel=3e-3)


def test_fields_may_say_more(document: Document, put: Put, read: Read) -> None:
    last = {
        "outline": STRIP,
        "length_m": 340,
        "direction_deg": 130,
        "obstacles": "wires to the west",
        "owner": "agreed",
        "last_light": "when the hill's shadow comes",
    }
    field = read(put(document, "fields", last)).sortie.fields[-1]
    assert field.outline is not None
    assert len(field.outline.points) == 4
    assert (field.length_m, field.direction_deg) == (340.0, 130.0)
    assert (field.obstacles, field.owner) == ("wires to the west", "agreed")
    assert field.last_light == "when the hill's shadow comes"
    assert read(document).sortie.fields[0].outline is None


def test_a_time_without_quotes_is_a_last_light(demo_flight: FlightFile, tmp_path: Path) -> None:
    text = demo_flight.path.read_text(encoding="utf-8")
    path = tmp_path / "flight.toml"
    path.write_text(text.replace('role = "home"', "last_light = 20:10:00"), encoding="utf-8")
    assert read_flight_file(path).sortie.fields[0].last_light == "20:10"


@pytest.mark.parametrize(
    ("keys", "message"),
    [
        ({"outline": CROSSED}, "crosses or touches itself"),
        ({"outline": SQUARE}, "km outside its own outline"),
        ({"outline": [[108.622, -46.798]]}, "Are they swapped? The latitude stands first here."),
        ({"outline": [[200, 200]]}, "corner 1 is [200, 200]; allowed"),
        ({"outline": "round"}, "not a list of corners"),
        ({"outline": []}, "not a list of corners"),
        ({"outline": [[-46.5, True]]}, "corner 1 is [-46.5, True], not two numbers"),
        ({"outline": STRIP, "length_m": 900}, "Correct one of them"),
        ({"direction_deg": 400}, "allowed: 0 to 360"),
        ({"length_m": 1}, "allowed: 5 to 10000 m"),
        ({"last_light": 20}, "not a text"),
        ({"width_m": 60}, "is not a key of this section"),
    ],
)
def test_wrong_fields_are_refused(
    document: Document, put: Put, refusals: Refusals, keys: Document, message: str
) -> None:
    told = refusals(put(document, "fields", keys))
    assert len(told) == 1
    assert "[[fields]] 4" in told[0]
    assert message.replace("km outside", "m outside") in told[0]


@pytest.mark.parametrize(
    ("keys", "message"),
    [
        ({"outline": CROSSED}, "crosses or touches itself"),
        ({"outline": None}, "has no outline"),
        ({"file": "wood.kml"}, "has an outline and a file"),
        ({"kind": "closed forrest"}, 'Did you mean "closed forest"?'),
        ({"outline": SQUARE[:2]}, "corners of an outline is 2"),
        ({"outline": [[-46.6, -108.1], [-46.6, -108.3], [-46.5, -108.3]]}, "km from the launch"),
    ],
)
def test_wrong_barriers_are_refused(
    document: Document, put: Put, refusals: Refusals, keys: Document, message: str
) -> None:
    told = refusals(put(document, "barriers", keys))
    assert len(told) == 1
    assert "[[barriers]] 1" in told[0]
    assert message in told[0]


def test_two_barriers_of_one_name_are_refused(document: Document, refusals: Refusals) -> None:
    document["barriers"].append({"name": "gollan wood", "outline": SQUARE})
    assert refusals(document) == [
        '[[barriers]]: "gollan wood" stands 2 times. Give each its own name.'
    ]


def test_a_section_of_places_needs_files(document: Document, refusals: Refusals) -> None:
    document["places"] = {"files": []}
    assert 'Write files = ["area.geojson"], or take [places] out.' in refusals(document)[0]
    document["places"] = {"files": [1]}
    assert 'Write files = ["area.geojson", "another"]' in refusals(document)[0]


POINT = """{{"type": "FeatureCollection", "features": [
 {{"type": "Feature", "properties": {{"name": "Upper Lea"{more}}},
  "geometry": {{"type": "Point", "coordinates": [108.1, -46.52]}}}},
 {{"type": "Feature", "properties": {{"name": "Moor road", "kind": "road"}},
  "geometry": {{"type": "LineString", "coordinates": [[108.1, -46.5], [108.2, -46.6]]}}}}]}}"""


def test_files_of_places_are_gathered_behind_what_is_stated(
    document: Document, written: Callable[[Document], Path], demo_flight: FlightFile
) -> None:
    document["places"] = {"files": ["area.geojson"]}
    path = written(document)
    (path.parent / "area.geojson").write_text(POINT.format(more=', "amsl_m": 251'))
    flight = gather_places(read_flight_file(path))
    names = [one.name for one in flight.sortie.fields]
    assert names == [*(one.name for one in demo_flight.sortie.fields), "Upper Lea"]
    assert flight.sortie.fields[-1].amsl_m == 251.0
    assert [one.name for one in flight.sortie.landmarks] == ["Moor road"]
    assert flight.notes == read_flight_file(path).notes
    assert gather_places(flight) == flight  # read once


def test_a_missing_height_is_that_of_the_ground_or_of_the_launch(
    document: Document, written: Callable[[Document], Path], demo_flight: FlightFile
) -> None:
    document["places"] = {"files": ["area.geojson"]}
    path = written(document)
    (path.parent / "area.geojson").write_text(POINT.format(more=""))
    ground = demo_flight.path.parent / "amber-evening-ground.tif"
    (path.parent / ground.name).write_bytes(ground.read_bytes())
    flight = gather_places(read_flight_file(path))
    assert 230.0 < flight.sortie.fields[-1].amsl_m < 280.0
    assert "that of the ground's files, is taken" in flight.notes[-1]
    del document["terrain"]
    flight = gather_places(read_flight_file(written(document)))
    assert flight.sortie.fields[-1].amsl_m == 240.0
    assert "that of the launch, 240 m, is taken" in flight.notes[-1]


def test_a_barrier_may_stand_in_a_file_of_its_own(
    document: Document, put: Put, written: Callable[[Document], Path], demo_flight: FlightFile
) -> None:
    from farglide.atlas.barriers import Places

    text = WRITERS["places.gpx"](Places(barriers=demo_flight.sortie.barriers))
    path = written(put(document, "barriers", {"outline": None, "file": "wood.gpx"}))
    (path.parent / "wood.gpx").write_text(text)
    flight = gather_places(read_flight_file(path))
    assert flight.sortie.barriers == demo_flight.sortie.barriers
    (path.parent / "wood.gpx").write_text(POINT.format(more=', "amsl_m": 251'))
    with pytest.raises(SourceError, match="holds no area for 'Gollan Wood'"):
        gather_places(read_flight_file(path))


def test_names_of_files_and_of_the_flight_file_must_differ(
    document: Document, written: Callable[[Document], Path]
) -> None:
    document["places"] = {"files": ["a.geojson", "a.geojson"]}
    path = written(document)
    (path.parent / "a.geojson").write_text(POINT.format(more=', "amsl_m": 251'))
    with pytest.raises(ContradictionError, match="two fields are called 'Upper Lea'"):
        gather_places(read_flight_file(path))
    (path.parent / "a.geojson").unlink()
    with pytest.raises(SourceError, match=r"a\.geojson.*cannot be read"):
        gather_places(read_flight_file(path))


MEADOW = "[[fields]]\nname = 'Meadow'\nlat_deg = 47\nlon_deg = 8\namsl_m = 500\n"
ROUND = "outline = [[46.999, 7.999], [47.001, 7.999], [47.001, 8.001], [46.999, 8.001]]\n"


def test_a_field_on_its_own(entered: Entered) -> None:
    bare = field_of(entered(FIELDS, MEADOW + "last_light = 20:10:00"))
    assert (bare.name, bare.amsl_m, bare.outline, bare.length_m) == ("Meadow", 500.0, None, None)
    assert (bare.last_light, bare.owner) == ("20:10", "")
    shaped = field_of(entered(FIELDS, MEADOW + ROUND + "length_m = 150"))
    assert shaped.outline is not None
    assert shaped.length_m == 150.0


def test_barriers_stand_here_or_in_files(entered: Entered, told: Told) -> None:
    here = entered(BARRIERS, "[[barriers]]\n" + ROUND)
    there = entered(BARRIERS, "[[barriers]]\nname = 'Lake'\nfile = 'lake.kml'\nkind = 'water'")
    (barrier,) = barriers_of([here, there])
    assert (barrier.name, barrier.kind) == ("barrier 1", "no landing")
    more = entered(PLACES, "[places]\nfiles = ['a.gpx']")
    assert places_source(more, [here, there], Path("at")) == PlacesSource(
        paths=(str(Path("at/a.gpx")),),
        barriers=(
            BarrierSource(name="Lake", kind="water", note="", path=str(Path("at/lake.kml"))),
        ),
    )
    assert not list(outline_problems([], [here, there]))
    nowhere = entered(BARRIERS, "[[barriers]]")
    (problem,) = outline_problems([entered(FIELDS, MEADOW + ROUND)], [here, nowhere])
    assert (problem.where, problem.what) == (nowhere.title, "has no outline.")
    assert "last_light: is 20, not a text." in told(FIELDS, MEADOW + "last_light = 20")[0]


def test_the_stands_of_the_demo(demo_flight: FlightFile) -> None:
    home, knap, gap = demo_flight.sortie.stands
    assert (home.name, home.amsl_m, home.mast_m) == ("Harrowend strip", 240.0, 3.0)
    # 18.0 km east and 15.1 km south of home
    assert knap.lat_deg == pytest.approx(-46.5 - 15.1 / 111.195, abs=1e-3)
    assert knap.lon_deg == pytest.approx(108.0 + 18.0 / 76.542, abs=2e-3)
    assert gap.amsl_m == 500.0


def test_drives_and_setting_up_come_from_the_file(demo_flight: FlightFile) -> None:
    home, knap, gap = demo_flight.sortie.stands
    assert (home.drive_s, knap.drive_s, gap.drive_s) == (0.0, 38 * 60.0, 26 * 60.0)
    assert demo_flight.sortie.set_up_s == 240.0


def test_a_stand_may_say_little(entered: Entered) -> None:
    one = entered(STANDS, "[[stands]]\nlat_deg = 47\nlon_deg = 8\namsl_m = 500")
    assert one.spec(StandSpec) == StandSpec(
        name="stand 1", lat_deg=47, lon_deg=8, amsl_m=500, mast_m=2
    )
    more = "mast_m = 3\ndrive_min = 20\nnose_deg = 90"
    one = entered(STANDS, f"[[stands]]\nlat_deg = 47\nlon_deg = 8\namsl_m = 500\n{more}")
    assert (one.spec(StandSpec).drive_s, one.spec(StandSpec).nose_deg) == (1200.0, 90.0)
