"""Places in words and as a sketch: what is told of the demo, and of what is missing."""

import math
import re
import xml.etree.ElementTree as ET
from dataclasses import replace

import pytest

from farglide.air.sounding import Sounding
from farglide.atlas.barriers import Barrier, Landmark
from farglide.atlas.outline import Outline
from farglide.earth.state import wrapped_lon_deg
from farglide.flightfile.flightfile import FlightFile
from farglide.gather.gather import gather_terrain
from farglide.outlook.barriers import Needed
from farglide.outlook.launch import MapLine
from farglide.outlook.places import Outlanding, PlaceView
from farglide.plan.places.placeview import see_places
from farglide.present.draw.maps.place_map import SVG, legend, map_sentence, place_files
from farglide.present.say.places.places import place_lines
from farglide.sortie.pack import Pack

SQUARE = Outline(points=((-46.55, 108.1), (-46.55, 108.2), (-46.52, 108.2), (-46.52, 108.1)))


@pytest.fixture(scope="module")
def view(demo_flight: FlightFile, demo_sounding: Sounding) -> PlaceView:
    terrain = gather_terrain(demo_flight.sortie)
    return see_places(demo_flight, Pack(sounding=demo_sounding, terrain=terrain))


@pytest.fixture(scope="module")
def offered(demo_flight: FlightFile, demo_sounding: Sounding) -> PlaceView:
    """Return the places of the demo without links, where some are offered to come down at."""
    sortie = replace(demo_flight.sortie, links=())
    pack = Pack(sounding=demo_sounding, terrain=gather_terrain(sortie))
    return see_places(replace(demo_flight, sortie=sortie), pack)


def told(view: PlaceView) -> str:
    return "\n".join(place_lines(view))


def flowing(view: PlaceView) -> str:
    return " ".join(told(view).split())


def test_every_field_and_the_wood_are_told(view: PlaceView) -> None:
    text = told(view)
    for n, one in enumerate(view.fields, start=1):
        assert f"  {n} {one.field.name}: 46." in text
    assert "46.6059 S 108.2454 E, 255 m above sea level" in text
    assert text.count("The owner has said nothing: ask first.") == 4
    assert "Gollan Wood, closed forest, on the way to Harrowend strip" in text
    assert "turn back to Brackmoor from, km" in text
    assert "Never land on the carriageway" in text
    assert all(len(line) <= 100 for line in text.splitlines())
    assert "nan" not in text
    assert " safe" not in text.lower()


def test_the_heights_told_are_those_found(view: PlaceView) -> None:
    for way in view.ways:
        commit = way.stations[0].ahead
        assert f"Cross it from {commit.amsl_m / 1000.0:.1f} km up" in told(view)
        assert f"({commit.error_free_amsl_m / 1000.0:.1f})" in told(view)
        assert way.start == "the planned release"
    assert {way.ahead for way in view.ways} == {"Harrowend strip", "Tansy Lea"}


def test_more_of_a_field(view: PlaceView) -> None:
    home = view.fields[0]
    field = replace(
        home.field,
        length_m=340.0,
        direction_deg=130.0,
        obstacles="hedge",
        owner="agreed by letter",
        last_light="20:10",
    )
    more = replace(
        home,
        field=field,
        slope_deg=2.6,
        area_m2=20_400.0,
        ground_amsl_m=300.0,
        inside="Gollan Wood",
    )
    text = flowing(replace(view, fields=(more, *view.fields[1:])))
    for words in (
        "340 m long along 130° or 310°; 2.0 ha; slope 3°; obstacles: hedge; last light 20:10.",
        "The owner: agreed by letter.",
        "The ground files say 300 m there: check the height.",
        "It lies inside Gollan Wood: is that meant?",
    ):
        assert words in text
    short = replace(more, field=replace(field, length_m=None), slope_deg=math.nan)
    text = flowing(replace(view, fields=(short,)))
    assert "landed along 130° or 310°" in text
    assert "slope not known" in text


def test_a_way_that_cannot_be_flown_and_one_without_return(view: PlaceView) -> None:
    way = view.ways[0]
    never = Needed(open_amsl_m=(), error_free_amsl_m=math.nan)
    edge = replace(way.stations[0], ahead=never)
    shut = replace(way, stations=(edge, *way.stations[1:]))
    text = flowing(replace(view, ways=(shut,)))
    assert "From no height is Harrowend strip open from this edge" in text
    jet = Needed(open_amsl_m=((4000.0, 9000.0),), error_free_amsl_m=3000.0)
    edge = replace(way.stations[0], ahead=jet, behind=None)
    lone = replace(way, stations=(edge, *way.stations[1:]), behind="")
    text = flowing(replace(view, ways=(lone,)))
    wanted = (
        "Cross it from 4.0 km up, but it is shut again above 9.0 km. No field lies on this side"
    )
    assert wanted in text
    gap = Needed(open_amsl_m=((600.0, 8000.0), (20_400.0, math.inf)), error_free_amsl_m=500.0)
    edge = replace(way.stations[0], behind=gap)
    text = flowing(replace(view, ways=(replace(way, stations=(edge, *way.stations[1:])),)))
    assert "Brackmoor is shut again from 8.0 to 20.4 km at the edge." in text
    text = flowing(replace(view, ways=(replace(way, decision_s=0.0),)))
    assert "Brackmoor is shut there already: there is no turning back." in text


def test_what_is_missing_is_told(view: PlaceView) -> None:
    bare = replace(view, places=replace(view.places, barriers=()), ways=(), ground="")
    unknown = replace(view.otherwise, knows_ground=False, places=(), n_stands=0)
    text = flowing(replace(bare, otherwise=unknown, release_planned=False))
    assert "No barrier is stated: write [[barriers]] into the flight file." in text
    assert "Without [terrain] nobody knows what is flat, so no place is offered." in text
    assert "No heights of the ground are stated." in text
    nothing = replace(view, otherwise=replace(view.otherwise, places=()), ways=())
    text = flowing(replace(nothing, release_planned=False))
    assert "no straight way to a field crosses it" in text
    assert "from where 5 in 10 have burst" in text
    assert "No flat place is in reach from there with packs, light and links to spare." in text


def test_a_place_beside_a_road(view: PlaceView) -> None:
    place = Outlanding(
        lat_deg=-46.6,
        lon_deg=108.2,
        amsl_m=251.0,
        slope_deg=1.2,
        road_m=183.0,
        n_seen_by=0,
        open_ratio=0.93,
        score_ratio=0.8,
    )
    found = replace(view.otherwise, places=(place,), knows_roads=True, n_stands=3)
    text = flowing(replace(view, otherwise=found))
    assert "a 46.6000 S 108.2000 E, 251 m above sea level" in text
    assert "slope 1°; 180 m from a road; in sight of no stand, 50 m over the ground." in text
    assert "Chosen by slope, roads, sight from the stands and barriers alone. Crops" in text


def test_the_sketch_is_one_document_that_says_what_it_shows(
    view: PlaceView, offered: PlaceView
) -> None:
    svg = str(place_files(offered)[SVG])
    root = ET.fromstring(svg)
    assert root.attrib["role"] == "img"
    assert root.attrib["aria-label"] == map_sentence(offered)
    texts = {one.text for one in root.iter("{http://www.w3.org/2000/svg}text")}
    assert {"1", "2", "3", "4", "Gollan Wood", "Wether Knap", "release", "Tansy Lea"} <= texts
    assert any(one is not None and one.startswith("to 1 from ") for one in texts)
    assert "nan" not in re.sub("base64,[^\"')]+", "", svg)
    width, height = (float(root.attrib[key]) for key in ("width", "height"))
    for mark in root.iter("{http://www.w3.org/2000/svg}rect"):
        assert -1.0 <= float(mark.attrib["x"]) <= width
        assert -1.0 <= float(mark.attrib["y"]) <= height
    assert len(legend(offered)) == 4
    assert "a" in texts
    # where nothing flat is open from the worst minute, no letter is drawn
    bare = replace(view, otherwise=replace(view.otherwise, places=()))
    assert len(legend(bare)) == 3


def test_the_sketch_holds_every_kind(view: PlaceView) -> None:
    kinds = ("water", "gorge", "town", "border")
    barriers = tuple(Barrier(name=kind.title(), kind=kind, outline=SQUARE) for kind in kinds)
    house = ((-46.52, 108.12), (-46.52, 108.13), (-46.53, 108.13), (-46.52, 108.12))
    landmarks = (
        Landmark(name="", kind="road", points=((-46.5, 108.0), (-46.6, 108.1))),
        Landmark(name="", kind="wires", points=((-46.5, 108.0), (46.6, -70.1))),
        Landmark(name="", kind="house", points=house),
        Landmark(name="", kind="house", points=house[:1]),
    )
    field = replace(view.fields[0].field, outline=SQUARE, lat_deg=-46.53, lon_deg=108.15)
    more = replace(
        view,
        fields=(replace(view.fields[0], field=field),),
        ways=(),
        places=replace(view.places, barriers=barriers, landmarks=landmarks),
        lines=(
            *(MapLine(name=b.name, kind=b.kind, points=b.outline.points) for b in barriers),
            *(MapLine(name=m.name, kind=m.kind, points=m.points) for m in landmarks[:2]),
        ),
        relief=None,
        otherwise=replace(view.otherwise, places=()),
    )
    svg = str(place_files(more)[SVG])
    assert ET.fromstring(svg).attrib["width"] == "500"
    for name in ("waves", "teeth", "bars"):
        assert f"url(#{name}-places)" in svg
    assert "Border, border" in svg
    for kind in ("road", "house", "outline"):
        assert f'data-is="{kind}"' in svg
    # the wires lead to the other side of the Earth, where there is no paper
    assert 'data-is="wires"' not in svg
    assert len(legend(more)) == 1


def test_over_the_180th_meridian_the_same_is_told(
    demo_flight: FlightFile, demo_sounding: Sounding, view: PlaceView
) -> None:
    """The demo moved so that the drift crosses the meridian: the same sketch."""

    def moved(lon_deg: float) -> float:
        return wrapped_lon_deg(lon_deg + 71.8)

    sortie = demo_flight.sortie
    barriers = tuple(
        replace(
            one,
            outline=Outline(points=tuple((lat, moved(lon)) for lat, lon in one.outline.points)),
        )
        for one in sortie.barriers
    )
    there = replace(
        sortie,
        launch=replace(sortie.launch, lon_deg=moved(sortie.launch.lon_deg)),
        fields=tuple(replace(one, lon_deg=moved(one.lon_deg)) for one in sortie.fields),
        stands=tuple(replace(one, lon_deg=moved(one.lon_deg)) for one in sortie.stands),
        barriers=barriers,
    )
    winds = replace(demo_sounding, lon_deg=moved(demo_sounding.lon_deg))
    found = see_places(replace(demo_flight, sortie=there), Pack(sounding=winds))
    assert max(lon for _, lon in found.drift) > 179.0
    assert min(lon for _, lon in found.drift) < -179.0
    assert [way.ahead for way in found.ways] == [way.ahead for way in view.ways]
    bare = replace(found.otherwise, places=())
    svg, wanted = (
        str(place_files(replace(one, otherwise=bare, ways=()))[SVG]) for one in (found, view)
    )
    assert svg.count("<rect") == wanted.count("<rect")
    heights = [float(ET.fromstring(one).attrib["height"]) for one in (svg, wanted)]
    assert heights[0] == pytest.approx(heights[1], abs=20.0)  # dusk moves the release a little


def test_without_terrain_and_barriers(demo_flight: FlightFile, demo_sounding: Sounding) -> None:
    bare = replace(demo_flight, sortie=replace(demo_flight.sortie, barriers=()))
    view = see_places(bare, Pack(sounding=demo_sounding))
    assert view.ways == ()
    assert view.ground == ""
    assert all(math.isnan(one.slope_deg) for one in view.fields)
    assert "slope not known" in told(view)
