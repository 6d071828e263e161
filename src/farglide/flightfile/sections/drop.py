"""Drop section: from the drop to steady flight, and the crew that orders it."""

from collections.abc import Iterator
from typing import Final

from farglide.errors import Problem
from farglide.flightfile.entries import Entry, Section
from farglide.flightfile.reading import endings as unit
from farglide.flightfile.reading.keys import Quantity, choice, guess, shares, typical
from farglide.flightfile.reading.reader import Reader
from farglide.flightfile.sections.glider import LIFTS
from farglide.flightfile.wing import stall_of
from farglide.sortie.gear import DropSpec

COUNTS: Final = {
    "n_releases": "releases tried so far, in tests and flights, failed ones too",
    "n_release_failures": "how many of them failed",
    "n_pullouts": "pull-outs flown so far, failed ones too",
    "n_pullout_failures": "how many of them failed",
}
_LEAST_SPEED_RATIO: Final = 1.2  # top over stall: less leaves no speed to fly
_REHEARSE: Final = "time it in a rehearsal"

_DROP_ROWS: Final = (
    guess("drop_drag", unit.PURE, (0.02, 3.0), "the falling glider has a drag coefficient of", 0.10,
          doubt=shares(0.1, 0.3, 0.3),
          settle="film the first seconds of a drop against a measured wall"),
    Quantity("pull_eas", unit.SPEED, (3.0, 60.0),
             "the pull-out begins at an equivalent airspeed of", choice=True),
    choice("pull_load", unit.PURE, (1.1, 8.0), "the load of the pull-out, in weights, is", 2.0),
    choice("level_angle", unit.ANGLE, (1.0, 45.0),
           "the pull-out ends with the path below the horizon by", 8.0),
    guess("heading", unit.TIME, (0.0, 1800.0), "until the way home is found it takes", 60.0,
          doubt=shares(0.3, 0.5, 0.5),
          settle="rehearse it: turn slowly until the sun stands where the sun clock says"),
)  # fmt: skip
_CREW_ROWS: Final = (
    # 5 to 15 s: common practice, no source
    guess("reaction", unit.TIME, (0.0, 300.0),
          "from seeing to the moving pin it takes the crew", 10.0,
          doubt=shares(0.3, 0.4, 0.5), settle=_REHEARSE),
    choice("repeats", unit.TIME, (0.0, 600.0),
           "the time kept for repeats of the release command is", 20.0),
    # ten minutes for most crews: common practice, no source
    typical("set_up", unit.TIME, (0.0, 7200.0),
            "from stopping the car to a steady picture it takes", 600.0, settle=_REHEARSE),
)  # fmt: skip


def drop_of(drop: Entry, crew: Entry) -> DropSpec:
    """Return the way from the drop to steady flight, found without problems."""
    hands = {"reaction_s": crew.known("reaction_s"), "repeats_s": crew.value("repeats_s")}
    return drop.spec(DropSpec, **hands, **crew.counts)


def speed_problems(drop: Entry, glider: Entry) -> Iterator[Problem]:
    """Yield a top speed and a pull-out that the stall leaves no room for."""
    if not LIFTS[0] <= glider.value("lift_max") <= LIFTS[1]:
        return
    stall, top = stall_of(glider.numbers), glider.stated("top_eas_mps")
    pull = drop.value("pull_eas_mps")
    least = _LEAST_SPEED_RATIO * stall
    if top is not None and top < least:
        what = f"is {top:.1f} m/s, but it stalls at {stall:.1f} m/s."
        yield glider.problem("top_eas", what, f"Allowed: {least:.1f} m/s or more.")
    if pull < stall:
        what = f"is {pull:.1f} m/s, below the stall at {stall:.1f} m/s."
        yield drop.problem("pull_eas", what, f"Write {1.4 * stall:.1f} or so.")
    if top is not None and pull > top:
        what = f"is {pull:.1f} m/s, above top_eas, {top:.1f} m/s."
        yield drop.problem("pull_eas", what, "Begin the pull-out below the top speed.")


def _finish_crew(reader: Reader, one: Entry) -> None:
    for tried, failed in (("releases", "release_failures"), ("pullouts", "pullout_failures")):
        n_failed = one.counts[f"n_{failed}"]
        if n_failed > one.counts[f"n_{tried}"]:
            remedy = f"n_{tried} counts all tries, failed ones too."
            reader.refuse(f"n_{failed}", f"is {n_failed}, more than n_{tried}.", remedy)


DROP: Final = Section(name="drop", about="From the drop to steady flight.", rows=_DROP_ROWS)
CREW: Final = Section(
    name="crew",
    about="How fast, and with what record.",
    rows=_CREW_ROWS,
    counts=tuple(COUNTS),
    finish=_finish_crew,
    words=COUNTS,
)
