"""Charted: what the flight file says stands on the map; roads without what no map shows."""

from dataclasses import replace

from farglide.atlas.barriers import Landmark
from farglide.flightfile.flightfile import FlightFile
from farglide.outlook.outlook import Outlook
from farglide.plan.charted import chart_outlook, map_lines


def test_stands_barriers_and_roads_are_those_of_the_file(
    demo_flight: FlightFile, outlook: Outlook
) -> None:
    road = Landmark(name="B 7", kind="road", points=((-46.5, 108.0), (-46.6, 108.1)))
    far = Landmark(name="B 8", kind="road", points=((-36.5, 108.0), (-36.6, 108.1)))
    house = Landmark(name="", kind="house", points=((-46.5, 108.0),))
    sortie = replace(demo_flight.sortie, landmarks=(road, far, house))
    chart = chart_outlook(sortie, outlook.ascent, outlook.launch, None)
    assert [one.name for one in chart.stands] == ["Harrowend strip", "Wether Knap", "Stile Gap"]
    assert [(one.name, one.kind) for one in chart.lines] == [
        ("Gollan Wood", "closed forest"), ("B 7", "road"),
    ]  # fmt: skip
    assert (chart.lat_deg, chart.lon_deg) == (-46.5, 108.0)
    assert chart.ground is None
    assert chart.wide is None


def test_corners_too_fine_to_see_are_left_out(demo_flight: FlightFile) -> None:
    points = tuple((-46.5 + 0.0001 * k, 108.0) for k in range(101))
    road = Landmark(name="", kind="road", points=points)
    sortie = replace(demo_flight.sortie, barriers=(), landmarks=(road,))
    (line,) = map_lines(sortie, sortie.launch)
    assert line.points[0] == points[0]
    assert line.points[-1] == points[-1]
    assert 15 <= len(line.points) <= 25
