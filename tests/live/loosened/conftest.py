"""The demo let go at T+74 and flown home, asked 5 min later; burst and tied on; or unseen."""

from dataclasses import replace

import pytest
from tests.live.loose import RELEASE_S, Told, burst, released

from farglide.air.sounding import Sounding
from farglide.earth.state import Place
from farglide.flightfile.flightfile import FlightFile
from farglide.live.asked.moment import Told as Beside
from farglide.live.loosened.asking import Asking, loose_flight
from farglide.live.loosened.flight import LooseFlight
from farglide.live.ride.slow import Flight, Maker
from farglide.live.ride.state import Ride
from farglide.live.ride.task import Entered
from farglide.live.stated import ride_of, with_car, with_car_feed
from farglide.sim.core.workers import in_one_go
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack
from farglide.track.typed.entries import Mark, MarkKind

GRAIN = Grain(n_draws=60, clock_s=60.0, prices_mps=(8.0,), slab=5)
AT_S = RELEASE_S + 300.0


class Asks:
    """The demo over flat ground, asked at any moment of a flight of it."""

    def __init__(self, flight: FlightFile, sounding: Sounding) -> None:
        pack = Pack(flight_text="", sounding=sounding)
        self.sortie = flight.sortie
        self.flight = Flight(sortie=self.sortie, pack=pack, grain=GRAIN, workers=in_one_go)
        self._make = Maker(self.flight)

    def __call__(
        self,
        told: Told,
        at_s: float,
        *marks: tuple[float, MarkKind],
        car: str = "Wether Knap",
        beside: Beside | None = None,
    ) -> LooseFlight:
        """Return it at a moment after the launch, by its fixes up to then and by marks."""
        specs = with_car_feed(self.sortie.feeds)
        stand = next(one for one in self.sortie.stands if one.name == car)
        place = Place(lat_deg=stand.lat_deg, lon_deg=stand.lon_deg, amsl_m=0.0)
        beside = replace(beside or Beside(), car=place)
        launch_t_s = self.sortie.launch.t_s
        ride = ride_of(told.between(10.0, min(at_s, told.path.end_s), 10.0), self.sortie.launch)
        ride = replace(ride, entries=tuple(
            Entered(number=k, t_s=launch_t_s + t_s, entry=Mark(kind=kind))
            for k, (t_s, kind) in enumerate(((0.0, MarkKind.LAUNCHED), *marks), start=1)
        ))  # fmt: skip
        ride = with_car(ride, specs, place, launch_t_s + at_s)
        found = self.asked(ride, at_s, beside)
        assert found is not None
        return found

    def asked(self, ride: Ride, at_s: float, beside: Beside | None = None) -> LooseFlight | None:
        """Return a ride at a moment after the launch, if it is a loose one."""
        asking = Asking(sortie=self.sortie, specs=with_car_feed(self.sortie.feeds), make=self._make)
        return loose_flight(asking, ride, self.sortie.launch.t_s + at_s, beside)


@pytest.fixture(scope="session")
def asks(demo_flight: FlightFile, demo_sounding: Sounding) -> Asks:
    return Asks(demo_flight, demo_sounding)


@pytest.fixture(scope="session")
def home(asks: Asks) -> Told:
    return released(asks.flight)


@pytest.fixture(scope="session")
def gliding(asks: Asks, home: Told) -> LooseFlight:
    return asks(home, AT_S, (RELEASE_S, MarkKind.RELEASED))


@pytest.fixture(scope="session")
def tied(asks: Asks) -> LooseFlight:
    flight = burst(asks.flight)
    return asks(flight, flight.event_s + 30.0, (flight.event_s + 2.0, MarkKind.BURST))


@pytest.fixture(scope="session")
def unseen(asks: Asks, home: Told) -> LooseFlight:
    """Return the glider of which nothing is seen for ten minutes."""
    low = replace(home, path=home.path.until(AT_S))
    marks = ((RELEASE_S, MarkKind.RELEASED), (AT_S, MarkKind.LOST))
    return asks(low, AT_S + 600.0, *marks)
