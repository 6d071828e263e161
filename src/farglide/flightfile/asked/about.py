"""About: what each part of a question is for, how to find it out, and an example."""

from collections.abc import Mapping
from typing import Final

from farglide.flightfile.asked.parts import Turn

_ANTENNA: Final = (
    "How strongly the antenna sends or hears towards the other end. Its kind and gain stand on its "
    "sheet or packing; a plain wire of half a wavelength is a dipole, an upright one over metal a "
    "quarter wave. Left out, it counts as 0 dBi in every direction. Example: yagi 14 dBi."
)
_POINTING: Final = (
    "Which way the wire of the antenna or its beam points in level flight. Look at how it is "
    "mounted: the crew is below and to the side. Example: down."
)
_PLACE: Final = (
    "Latitude, then longitude, in degrees; north and east are positive. Press on the place in a "
    "map on a phone, or read it off a receiver standing there. Example: -25.0167, -65.5."
)
_AMSL: Final = (
    "How high the ground lies there above the sea: height is reckoned from it. Read it off a "
    "topographic map, to 10 m or so; a phone may be 50 m off. Example: 210 m."
)
_PERMISSION: Final = (
    "Type held when you have it in writing or by word, asked when you wait for an answer, not "
    "needed when your local rules ask for none. With a missing one the plan says NOT CLEARED; it "
    "reckons all the same. Example: asked."
)
_ABOUT: Final[Mapping[str, str]] = {
    "1.name": "The name that stands at the head of every sheet of the plan. Call it as you like: "
    "the place, the day. Left out, it is that of the file. Example: Evening over the plain.",
    "launch_at": "The moment when the balloon leaves the hand: winds, sun and permissions hang on "
    "it. Behind the time stands how far your clock is from UTC, in summer an hour more in many "
    "places, or the name of the zone. Example: 2027-06-15 09:30 +02:00.",
    "file": "The winds by height over the launch, that all drift follows from. A sounding or a "
    "forecast of that hour, as a file in the same folder as the flight file; it may come later, on "
    "the day. Example: winds.csv.",
    "2.name": "What the plan calls the place where you launch. Take the name that your friend in "
    "the car knows. Example: North strip.",
    "place": _PLACE,
    "amsl": _AMSL,
    "carried": "What the balloon carries up. A glider is let go near the top and flown home; a box "
    "stays on the line until the burst and comes down under a parachute. Example: glider.",
    "3.mass": "All that flies after the balloon: it decides fill, speed and fall. Put it on a "
    "kitchen scale ready to fly, with its battery. Example: 1200 g.",
    "canopy": "How wide the parachute is: how fast the box comes down follows from it. Lay the "
    "open canopy flat and measure across it. Example: 100 cm.",
    "span": "From wing tip to wing tip: with mass and width it gives speed and glide. Measure it "
    "with a tape. Example: 180 cm.",
    "chord": "How wide the wing is from its front edge to its back edge. Measure at the root and "
    "at the tip and take the middle of both; left out, it is a fifth of the span. Example: 24 cm.",
    "glided": "One long straight glide in calm air tells best how far it comes home. Walk or map "
    "the way over the ground from where the glide began to where it ended, motor off. Example: "
    "1300 m, from a height of 100 m.",
    "glided_from": "How high above the landing ground that glide began: way over height is the "
    "glide ratio. Read it off the receiver or a gauge aboard. Example: 100 m.",
    "top": "How fast it may fly home against the wind. Take the fastest speed that it has flown at "
    "low height without flutter; left out, it flies no faster than at its best glide. Example: "
    "100 km/h.",
    "6.mass": "What the empty balloon weighs: latex balloons are named by it, and how far they "
    "stretch follows from it. It is printed on the packing, or weigh it. Example: 1200 g.",
    "gas": "What fills the balloon. Hydrogen lifts a little more and burns; helium does neither. "
    "It is written on the bottle. Example: helium.",
    "fill": "How much gas is filled in: more climbs faster and bursts lower. Say which weight at "
    "the neck just floats, or how fast it shall climb, or where it shall burst; left out, it "
    "climbs at 5.5 m/s. Example: 5.5 m/s.",
    "line": "What hangs between balloon and load: line, hook, swivel, release. Weigh all of it in "
    "one go. Example: 120 g.",
    "energy": "How long all aboard lasts follows from it. It is printed on the pack: watt-hours, "
    "or milliamp-hours and volts. Left out, nobody knows when the power ends. Example: 2600 mAh "
    "11.1 V.",
    "load": "What all that runs on the pack draws at once. Measure the current with everything on, "
    "and multiply it with the volts. Example: 11 W.",
    "home": "Home is the first place that is tried for landing. Say no where you launch from one "
    "place and land at another; that one is asked for next. Example: yes.",
    "9.name": "Another place where it may land if home is out of reach: most help those downwind. "
    "Its owner should know of it. Enter alone ends the list. Example: Lower meadow.",
    "frequency": "On which band the radio works: how far it reaches follows from it. It is printed "
    "on the radio or stands in its menu. Example: 868 MHz.",
    "power": "What the transmitter puts out into its antenna. It stands on its sheet or in its "
    "menu; dBm are taken too. Example: 25 mW.",
    "kind": "Analogue pictures grow snowy and fade slowly; digital ones freeze all at once. Radios "
    "for commands and places are digital as a rule. Example: analogue.",
    "sender_antenna": _ANTENNA,
    "receiver_antenna": _ANTENNA,
    "sender_pointing": _POINTING,
    "receiver_pointing": _POINTING,
    "threshold": "How weak the signal may get before it is lost: this decides the reach. It stands "
    "on the receiver's sheet as sensitivity in dBm; without one, type how far it once just "
    "reached. Example: -90 dBm, or 12 km.",
    "12.name": "Where the antennas of the crew stand, by a name that the driver knows. A hill "
    "with a free view downwind hears farthest; Enter alone: the launch. Example: The knoll.",
    "mast": "How high the antennas stand above the ground there: near it, signals are lost to the "
    "ground. Measure the pole, or guess your own height. Example: 2 m.",
    "drive": "How long the car takes to that place: when it must leave follows from it. Drive it "
    "once, and take the time that is kept nine times in ten. Example: 35 min.",
    "airspace": f"The balloon shares the air with others. {_PERMISSION}",
    "aircraft": f"A glider that is flown by its picture is out of sight. {_PERMISSION}",
    "command_radio": f"A radio in the air may need leave for its band and power. {_PERMISSION}",
    "picture_radio": f"A radio in the air may need leave for its band and power. {_PERMISSION}",
    "land": f"Ask the owners of the launch place and of where it may land. {_PERMISSION}",
    "n_releases": "How often the release was tried, on the ground counts: the chance that it works "
    "on the day is judged by it. Take it from your notes. Example: 20.",
    "n_release_failures": "How many of those releases did not let go, or let go late. Be strict: "
    "the plan believes it. Example: 1.",
    "n_pullouts": "How often it was dropped and flown out of the dive: the chance that it does on "
    "the day is judged by it. Take it from your notes. Example: 6.",
    "n_pullout_failures": "How many of those dives did not end in level flight. Be strict: the "
    "plan believes it. Example: 0.",
}
"""By the key of a part, or by its question and its key."""


def about(turn: Turn) -> str:
    """Return what a part is for, how to find it out, and an example of an answer."""
    key = turn.part.key
    return _ABOUT.get(f"{turn.question}.{key}") or _ABOUT[key]
