"""Questioned: a ride under way as a situation that any question can be put to."""

from farglide.atlas.terrain import Terrain
from farglide.errors import AnswerError
from farglide.live.asked.moment import Told
from farglide.live.asked.situation import Situation
from farglide.live.free.moving import moving
from farglide.live.loosened.flight import LooseFlight
from farglide.live.ride.asflown import roads_typed
from farglide.live.ride.state import Ride
from farglide.live.ride.tables import Tables
from farglide.live.running import Running
from farglide.track.typed.entries import Grade, MarkKind


def situation_of(
    running: Running, terrain: Terrain | None, fault: str | None = None
) -> Situation | LooseFlight:
    """Return a ride as it is now, by the tables in use and the advice that was given last.

    `fault`: the card that is wanted. Raises AnswerError where there is neither, and where it is
    marked as down.
    """
    ride, session = running.ride, running.session
    if MarkKind.LANDED in ride.marks:
        raise AnswerError(
            "It is down, as you marked. Look for it with farglide search, in a second terminal. "
            "If it still flies: u landed."
        )
    made, advice = session.made(ride), running.advice
    if not isinstance(made, Tables) or advice is None:
        raise AnswerError("The way home is not summed yet: ask again in some seconds.")
    told = Told(
        car=session.crew(ride),
        written=session.sortie,
        roads=roads_typed(ride.entries),
        grade=None if fault else grade_of(ride),
        fault=fault,
    )
    if advice.after is not None:
        now_t_s = session.launch(ride).t_s + advice.after_launch_s
        return LooseFlight(
            advice=advice,
            after=advice.after,
            made=made,
            terrain=terrain,
            told=told,
            moves=moving(ride, now_t_s),
        )
    known = made.known
    last = session.seen(made, ride)
    return Situation(known=known, advice=advice, terrain=terrain, told=told, last=last)


def grade_of(ride: Ride) -> int | None:
    """Return the grade of the picture that was typed last; None for none."""
    seen = [one.entry.grade for one in ride.entries if isinstance(one.entry, Grade)]
    return seen[-1] if seen else None
