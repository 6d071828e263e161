"""Fault cards: what is seen, what it means, what to do first, and what ends the time there is.

What follows from what is common practice, no source; the chances of a meaning are guesses, in
place of which the ride's own numbers stand where it has them.
"""

from collections.abc import Mapping
from typing import Final, Literal, NamedTuple

Ends = Literal["release", "door", "burst", "landing", "never"]
"""What ends the time in hand: the release is due, the field shuts, it bursts, it lands."""
Known = Literal["burst", "leak", "winds"]
"""A chance that the ride itself has."""


class Means(NamedTuple):
    """One thing that it may mean, and its chance among them."""

    words: str
    ratio: float


class Quiet(NamedTuple):
    """What a card says while the ride itself sees nothing of it: what to do, and why."""

    answer: str
    why: str


class Card(NamedTuple):
    """One failure. `known`: the ride's own chance stands in place of the first meaning's."""

    sees: str
    means: tuple[Means, ...]
    first: str
    then: str
    ends: Ends
    known: Known | None = None
    quiet: Quiet | None = None


CARDS: Final[Mapping[str, Card]] = {
    "aircraft": Card(
        "An aircraft is reported near or below the track.",
        (Means("it passes before anything comes down", 0.9), Means("it stays", 0.1)),
        "Call the unit: <ask call>.", "Agree on release early, or do not release.", "release",
    ),
    "battery": Card(
        "Volts fall faster than the plan has them.",
        (Means("the pack is colder than planned", 0.6), Means("a cell is gone", 0.3),
         Means("the reading is off", 0.1)),
        "<Ask power>. Plan on half of what is left.", "Fly home fast; leave out the spare height.",
        "release",
    ),
    "burst": Card(
        "Height falls at once, the picture tumbles.",
        (Means("it burst with the glider tied on", 0.9), Means("it was let go", 0.1)),
        "Send the release. Keep sending for 60 s.", "Type burst; look for the picture after it.",
        "door",
    ),
    "car-stuck": Card(
        "The car cannot go on: herd, closed road, flat tyre.",
        (Means("15 min late", 0.6), Means("not there at all", 0.4)),
        "Stop on open ground, antenna high. <Ask park>.",
        "A nearer stand in time beats a better one too late.", "release",
    ),
    "clock-off": Card(
        "The tracker's clock and this one differ.",
        (Means("the tracker is ahead or behind", 0.5), Means("this computer is", 0.5)),
        "Go on: the ride goes by the first sender.", "Hold both against a phone or a radio.",
        "never",
    ),
    "digits": Card(
        "Digits off the picture are asked back.",
        (Means("a comma, a sign or a digit is misread", 0.8), Means("it really jumped", 0.2)),
        "Read them again. y takes what was offered.", "u takes back what was taken.", "never",
    ),
    "early-burst": Card(
        "It is high, and the burst comes nearer.",
        (Means("it bursts within five minutes", 0.1), Means("it does not", 0.9)),
        "<Ask wait>. Past the window: release now.",
        "After a burst: send the release at once, then think.", "release", "burst",
        Quiet("No burst is near: go on as advised.", "It is lower than such balloons burst."),
    ),
    "feet": Card(
        "Heights climb three times too fast.",
        (Means("the tracker tells feet", 0.9), Means("another height is wrong", 0.1)),
        "State height_ft in its feed; type heights in m.",
        "Until then the height of that feed is left out.", "release",
    ),
    "frost": Card(
        "Picture white or soft, overlay clear, link fine.",
        (Means("frost or fog on the lens", 0.8), Means("cloud", 0.2)),
        "Wait. It dries in drier air above.", "The release needs no picture: <ask lost>.",
        "release",
    ),
    "ground-wind": Card(
        "Drift on the last kilometre is not as planned.",
        (Means("the wind below has turned", 0.7), Means("gusts", 0.3)),
        "Land into the wind you see.", "Too low to turn: wings level, straight on.", "landing",
    ),
    "late-command": Card(
        "Nothing happens for half a minute after the order.",
        (Means("the command is heard late", 0.5), Means("it is not heard", 0.3),
         Means("the pin sticks", 0.2)),
        "Send again, keep sending, antenna high.", "Type sent, then stuck. Reckon 30 s more.",
        "release",
    ),
    "leak": Card(
        "The climb falls off.",
        (Means("the balloon leaks", 0.5), Means("sinking air, or it was slower all along", 0.5)),
        "<Ask wait>. A float is no extra time.",
        "It may not burst: packs and light end the flight.", "release", "leak",
        Quiet("No leak shows: go on as advised.", "The climb so far does not fall off."),
    ),
    "no-phone": Card(
        "The second car does not answer.",
        (Means("out of phone range", 0.9), Means("in trouble", 0.1)),
        "Keep to the last agreed plan.", "By radio: <ask hand>, and say it twice.", "never",
    ),
    "no-terrain": Card(
        "No heights of the ground are known.",
        (Means("the file was not packed", 1.0),),
        "Stand on the highest open ground.",
        "Lost-picture heights are too low: hills are not in them.", "never",
    ),
    "noise": Card(
        "Picture worse everywhere, from one moment on.",
        (Means("a stranger or own sender raises the noise", 0.6), Means("damage", 0.4)),
        "Stop commands 3 s and look. Then change channel.",
        "6 dB are half the reach: <ask fault N>.", "release",
    ),
    "phone-dead": Card(
        "The phone is dead.",
        (Means("no calls, no map", 1.0),),
        "Write down place and time; use the other phone.",
        "Meet where it was agreed. The log is on the computer.", "never",
    ),
    "pin-never": Card(
        "Sent several times, still tied on.",
        (Means("every trigger fails", 0.1), Means("the command is not heard", 0.6),
         Means("the pin sticks and frees itself", 0.3)),
        "Keep sending, antenna high, car still.",
        "Count to the on-board time-out; then plan for the burst.", "burst",
    ),
    "refused": Card(
        "An owner refuses the field.",
        (Means("nobody may land there today", 1.0),),
        "Type refused NAME. The answers change at once.",
        "<Ask park>: another stand may be better.",
        "release",
    ),
    "restart": Card(
        "The computer is off or restarts.",
        (Means("back in a minute", 0.8), Means("it stays off", 0.2)),
        "Start the same command again.", "Until then: the last release-by holds, by the clock.",
        "release",
    ),
    "short-fill": Card(
        "It climbs slower from the first minutes.",
        (Means("less gas than weighed", 0.6), Means("more drag, or sinking air", 0.4)),
        "Wait five minutes; <ask burst> and <wait>.", "Burst higher, all times later.", "release",
    ),
    "stops-at-18-km": Card(
        "Positions end near 18 km, the link is heard.",
        (Means("its receiver stops there", 0.8), Means("no fix for another reason", 0.2)),
        "Type heights off the picture; else by the clock.",
        "Release by the clock time, not by height.", "release",
    ),
    "upside-down": Card(
        "The picture is back, the horizon upside down.",
        (Means("the glider is inverted or rolling", 0.6), Means("the camera has turned", 0.4)),
        "Hands off, count five. Then look again.", "Sky below stays: roll gently to one side.",
        "door",
    ),
    "wind-turned": Card(
        "The track leaves the plan.",
        (Means("the wind has turned or grown", 0.9), Means("a wrong launch or place", 0.1)),
        "<Ask now>: fields and window are new.", "<Ask park>: the stands may be others.", "release",
        "winds", Quiet("The winds fit: go on as advised.", "The drift so far is as was told."),
    ),
    "winds-end": Card(
        "Winds are known only up to a height.",
        (Means("above it they are carried on, and doubted", 1.0),),
        "Go on: the climb itself measures them.", "Chances above are wider than they look.",
        "never",
    ),
    "winds-old": Card(
        "The winds are old.",
        (Means("off by more than young ones", 1.0),),
        "Go on: the climb itself measures them.", "Look again at the chance after 20 min of climb.",
        "never",
    ),
}  # fmt: skip
"""The cards by the word that is typed."""
