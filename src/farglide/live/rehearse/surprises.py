"""Surprises: what may be otherwise than planned in a rehearsal, each by its name."""

from dataclasses import dataclass, fields, replace
from typing import Any, Final, NamedTuple

from farglide.errors import ContradictionError, InputError
from farglide.sortie.spec import Sortie

_MIN_S: Final = 60.0


class Said(NamedTuple):
    """What the crew sees or is told at a moment after the launch, and no feed says."""

    after_launch_s: float
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Changes:
    """What is otherwise than planned; each default changes nothing."""

    turn_deg: float = 0.0  # winds from 5 to 12 km, to the right
    weaker_mps: float = 0.0  # winds above 23 km
    jet_mps: float = 0.0  # faster from 8 to 12 km, along the wind
    winds_older_s: float = 0.0  # the winds that were told, so that they are doubted more
    landing_turn_deg: float = 0.0  # winds of the lowest 500 m, on the way home
    burst_sd: float | None = None  # bursting diameter: so many standard deviations over the stated
    less_neck_kg: float = 0.0  # neck lift than planned
    leak_ratio_ps: float = 0.0  # share of the gas left lost a second, at sea-level density
    leak_from_s: float = 0.0  # after the launch
    glide_ratio: float = 1.0  # glide over what is believed
    cold_ratio: float | None = None  # share of the energy that the cold leaves in each pack
    silent_from_s: float = 0.0  # no position of the tracker ...
    silent_to_s: float = 0.0  # ... until then
    stops_above_m: float | None = None  # and none above
    clock_off_s: float = 0.0  # of the tracker: positive is ahead
    tells_feet: bool = False  # in place of metres
    loses_sign: bool = False  # a latitude in the south is told as one in the north
    car_late_s: float = 0.0  # at its stand
    n_sticks: int = 0  # commands that the pin does not follow
    command_late_s: float = 0.0  # is heard so much later
    crew_late_s: float = 0.0  # sends it so much later than it ought to
    winds_end_amsl_m: float | None = None  # of those told: nothing is known above
    no_terrain: bool = False  # nobody brought the heights of the ground
    refuses_field: bool = False  # the first field after home, its owner
    digits_from_s: float | None = None  # the tracker is silent, its digits stand in the picture
    says: tuple[Said, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Surprise:
    """One surprise: its name, what happens, and what that changes."""

    name: str
    what: str
    changes: Changes


NEVER: Final = 1_000_000
"""More commands than anybody sends."""
_LEAK: Final[dict[str, Any]] = {"leak_ratio_ps": 0.00034, "leak_from_s": 38.0 * _MIN_S}
_SILENT: Final[dict[str, Any]] = {"silent_from_s": 55.0 * _MIN_S, "silent_to_s": 61.0 * _MIN_S}


def _named(name: str, what: str, **changes: Any) -> Surprise:
    return Surprise(name=name, what=what, changes=Changes(**changes))


def _told(*said: tuple[float, str]) -> tuple[Said, ...]:
    """Return what is said, each by its minute after the launch."""
    return tuple(Said(_MIN_S * minute, words) for minute, words in said)


SURPRISES: Final = (
    _named("slow-leak", "winds turned right, weak easterlies, a leak from T+38, silence from T+55 "
           "to T+61, the car 25 min late, a pin that works at the second try", turn_deg=22.0,
           weaker_mps=3.5, car_late_s=25.0 * _MIN_S, n_sticks=1, **_LEAK, **_SILENT),
    _named("burst-tied-on", "a burst two deviations early, the crew two minutes late",
           burst_sd=-2.0, crew_late_s=2.0 * _MIN_S),
    _named("winds-right", "winds turned right by 22° between 5 and 12 km", turn_deg=22.0),
    _named("winds-left", "winds turned left by 20° between 5 and 12 km", turn_deg=-20.0),
    _named("weak-easterlies", "winds 3.5 m/s weaker above 23 km", weaker_mps=3.5),
    _named("strong-jet", "winds 9 m/s stronger between 8 and 12 km", jet_mps=9.0),
    _named("old-winds", "the winds told 14 h older", winds_older_s=14.0 * 3600.0),
    _named("ground-wind", "the wind of the lowest 500 m turned round at the landing",
           landing_turn_deg=180.0),
    _named("leak", "a hole in the balloon from T+38", **_LEAK),
    _named("early-burst", "a burst one deviation early", burst_sd=-1.0),
    _named("short-fill", "0.15 kg less neck lift than planned", less_neck_kg=0.15),
    _named("poor-glide", "a glide ratio a tenth lower than believed", glide_ratio=0.9),
    _named("cold-packs", "the cold leaves half of the packs' energy", cold_ratio=0.5),
    _named("silence", "no position from T+55 to T+61", **_SILENT),
    _named("stops-at-18-km", "the receiver tells no position above 18 km", stops_above_m=18_000.0),
    _named("clock-off", "the tracker's clock a minute ahead", clock_off_s=60.0),
    _named("feet", "the tracker tells feet as if they were metres", tells_feet=True),
    _named("lost-sign", "southern latitudes told as northern ones", loses_sign=True),
    _named("late-car", "the car 15 min late behind a herd", car_late_s=15.0 * _MIN_S),
    _named("pin-sticks", "a pin that works at the second try", n_sticks=1),
    _named("pin-never", "a pin that never works", n_sticks=NEVER),
    _named("late-command", "the command heard 30 s late", command_late_s=30.0),
    _named("owner-refuses", "the owner of the second field refuses", refuses_field=True,
           says=_told((-0.5, "The owner of your second field refuses. Type it where you ride: "
                       "refused, and its name."),)),
    _named("winds-end", "no winds told above 20 km", winds_end_amsl_m=20_000.0),
    _named("no-terrain", "no heights of the ground brought along", no_terrain=True),
    _named("comma-digits", "no position from T+20 on; digits in the picture, with commas and "
           "without the minus of the south", digits_from_s=20.0 * _MIN_S),
    _named("noise", "the noise of the picture 6 dB higher from T+30 on",
           says=_told((30.0, "The picture is grainy all of a sudden: one grade down."),
                      (36.0, "Still grainy, wherever the antenna points."))),
    _named("frost", "the lens frosted over for five minutes",
           says=_told((12.0, "The picture is white. Sound and stripes are as before."),
                      (17.0, "The picture is back: first the middle, then the rim."))),
    _named("upside-down", "a picture that comes back upside down",
           says=_told((40.0, "No picture."),
                      (42.0, "The picture is back. The ground is on top."))),
    _named("aircraft", "an aircraft told below the track",
           says=_told((25.0, "The airfield calls: a light aircraft crosses below you. How high are "
                      "you, where are you going, and when will you be down?"),)),
    _named("phone-dead", "the phone dead from T+35 on",
           says=_told((35.0, "The phone is dead. Whom was it to call, and who can?"),)),
    _named("car-alone", "the second car out of reach of the phone",
           says=_told((33.0, "The second car does not answer its phone. Use the voice radio."),)),
    _named("restart", "the computer starts anew at T+50, and hears nothing for a minute",
           silent_from_s=50.0 * _MIN_S, silent_to_s=51.0 * _MIN_S,
           says=_told((50.0, "Your computer starts anew: kill farglide ride, and begin it again "
                      "with the same command."),)),
)  # fmt: skip
"""All of them; the first two are whole runs of several."""


def surprises_of(names: tuple[str, ...]) -> tuple[Surprise, ...]:
    """Return surprises by their names, none twice. Raises InputError."""
    known = {one.name: one for one in SURPRISES}
    for name in names:
        if name not in known:
            raise InputError("--surprise", repr(name), ", ".join(known))
    return tuple(known[name] for name in dict.fromkeys(names))


def without_refused(sortie: Sortie, changes: Changes) -> Sortie:
    """Return a sortie without the field whose owner refuses. Raises ContradictionError."""
    if not changes.refuses_field:
        return sortie
    if len(sortie.fields) < 2:
        what = "The owner of the second field refuses, and there is but one."
        raise ContradictionError(what, "Leave that surprise out.")
    return replace(sortie, fields=(sortie.fields[0], *sortie.fields[2:]))


def changes_of(surprises: tuple[Surprise, ...]) -> Changes:
    """Return what several surprises change together.

    Raises ContradictionError where two change one thing otherwise.
    """
    said: dict[str, tuple[str, object]] = {}
    for one in surprises:
        for part in fields(Changes):
            value = getattr(one.changes, part.name)
            if value == part.default or part.name == "says":
                continue
            other, before = said.setdefault(part.name, (one.name, value))
            if before != value:
                what = f"The surprises {other} and {one.name} change the same thing."
                raise ContradictionError(what, "Leave one of them out.")
    found: dict[str, Any] = {name: value for name, (_, value) in said.items()}
    return Changes(
        **found, says=tuple(sorted(one for each in surprises for one in each.changes.says))
    )
