"""Questioned: a ride under way as a situation that any question can be put to."""

from farglide.atlas.terrain import Terrain
from farglide.chances.onward import Seen
from farglide.earth.state import Place
from farglide.errors import AnswerError
from farglide.live.asked.situation import Situation, Told
from farglide.live.loosened.flight import LooseFlight
from farglide.live.ride.slow import Tables
from farglide.live.ride.state import Ride
from farglide.live.running import Running
from farglide.track.passage import Launched, been_of
from farglide.track.typed.entries import Grade


def situation_of(
    running: Running, terrain: Terrain | None, fault: str | None = None
) -> Situation | LooseFlight:
    """Return a ride as it is now, by the tables in use and the advice that was given last.

    `fault`: the card that is wanted. Raises AnswerError where there is neither.
    """
    ride, session = running.ride, running.session
    made, advice = session.made(ride), running.advice
    if not isinstance(made, Tables) or advice is None:
        raise AnswerError("The way home is not summed yet: ask again in some seconds.")
    told = Told(
        car=car_of(ride, [one.name for one in session.sortie.feeds if one.of == "car"]),
        written=session.sortie,
        grade=None if fault else grade_of(ride),
        fault=fault,
    )
    if advice.after is not None:
        return LooseFlight(advice=advice, after=advice.after, made=made, terrain=terrain, told=told)
    known = made.of.known
    return Situation(
        known=known, advice=advice, terrain=terrain, told=told, last=_last(made, ride)
    )  # fmt: skip


def car_of(ride: Ride, names: list[str]) -> Place | None:
    """Return where the car is by the feeds of these names; None where none has told."""
    known = [ride.feed(name).believed for name in names]
    fixes = [one.fix for one in known if one is not None]
    if not fixes:
        return None
    return Place(lat_deg=fixes[-1].lat_deg, lon_deg=fixes[-1].lon_deg, amsl_m=0.0)


def grade_of(ride: Ride) -> int | None:
    """Return the grade of the picture that was typed last; None for none."""
    seen = [one.entry.grade for one in ride.entries if isinstance(one.entry, Grade)]
    return seen[-1] if seen else None


def _last(made: Tables, ride: Ride) -> Seen:
    """Return where the balloon was seen last, no earlier than the tables go on from."""
    last, ensemble = ride.balloon, made.of.known.ensemble
    launched = Launched(utc_s=made.task.launch.t_s)
    been = been_of(() if last is None else (last,), launched, ensemble.air.scene)
    if not len(been.t_s) or been.t_s[-1] < made.seen.after_launch_s:
        return made.seen
    return Seen(*(float(one[-1]) for one in been))
