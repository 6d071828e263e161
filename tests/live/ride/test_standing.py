"""Standing: at the stand where the crew said so, else where its car was heard, else nowhere."""

from farglide.earth.state import Place
from farglide.flightfile.flightfile import FlightFile
from farglide.live.ride.standing import crew_place
from farglide.live.ride.task import Entered
from farglide.track.reports import Fix
from farglide.track.typed.entries import AtStand, Grade


def test_the_crew_is_where_it_said_unless_its_car_was_heard_elsewhere_since(
    demo_flight: FlightFile,
) -> None:
    sortie = demo_flight.sortie
    stand = sortie.stands[1]
    said = (
        Entered(number=1, t_s=100.0, entry=AtStand(stand=stand.name)),
        Entered(number=2, t_s=150.0, entry=Grade(grade=3)),
    )
    there = Place(lat_deg=stand.lat_deg, lon_deg=stand.lon_deg, amsl_m=0.0)
    off_deg = stand.lat_deg + 0.1  # 11 km
    gone = Fix(feed="car", lat_deg=off_deg, lon_deg=stand.lon_deg, t_s=200.0, height_m=300.0)
    away = Place(lat_deg=off_deg, lon_deg=stand.lon_deg, amsl_m=0.0)
    earlier = Fix(feed="car", lat_deg=off_deg, lon_deg=stand.lon_deg, t_s=90.0)
    beside = Fix(feed="car", lat_deg=stand.lat_deg + 0.01, lon_deg=stand.lon_deg, t_s=200.0)
    assert crew_place(sortie, said, None) == there
    assert crew_place(sortie, said, earlier) == there
    assert crew_place(sortie, said, beside) == there  # 1.1 km: it stands there
    assert crew_place(sortie, said, gone) == away
    assert crew_place(sortie, (), gone) == away
    assert crew_place(sortie, (), None) is None
    unknown = (Entered(number=1, t_s=100.0, entry=AtStand(stand="nowhere")),)
    assert crew_place(sortie, unknown, None) is None
