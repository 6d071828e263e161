"""Fault cards after the release: those that say another thing then, and those that are over.

What follows from what is common practice, no source; the chances of a meaning are guesses.
"""

from collections.abc import Mapping
from typing import Final

from farglide.present.say.cards import Card, Means

CARDS_AFTER: Final[Mapping[str, Card]] = {
    "aircraft": Card(
        "An aircraft is reported near or below the glider.",
        (Means("it passes before the glider is that low", 0.8), Means("it stays", 0.2)),
        "Call the unit: <ask call>. Do what it says.", "Give way: turn away, and stay clear of it.",
        "door",
    ),
    "battery": Card(
        "Volts fall faster than the plan has them.",
        (Means("the pack is colder than planned", 0.6), Means("a cell is gone", 0.3),
         Means("the reading is off", 0.1)),
        "Fly faster now: <ask power>, and <speed>.", "Take the nearest open field: <ask putdown>.",
        "door",
    ),
    "car-stuck": Card(
        "The car cannot go on: herd, closed road, flat tyre.",
        (Means("15 min late", 0.6), Means("not there at all", 0.4)),
        "Stop on open ground, antenna high. <Ask park>.",
        "Fly on from there. It can be fetched later.", "landing",
    ),
    "feet": Card(
        "Heights fall three times too fast.",
        (Means("the tracker tells feet", 0.9), Means("another height is wrong", 0.1)),
        "State height_ft in its feed; type heights in m.",
        "Until then the height of that feed is left out.", "door",
    ),
    "frost": Card(
        "Picture white or soft, overlay clear, link fine.",
        (Means("frost or fog on the lens", 0.8), Means("cloud", 0.2)),
        "Fly by the overlay: track, speed, sink.", "It clears in warmer air below. <Ask speed>.",
        "door",
    ),
    "late-command": Card(
        "It turns seconds after the stick.",
        (Means("the command is heard late", 0.7), Means("it is heard now and then", 0.3)),
        "Small turns. Wait until each is seen.", "Antenna high, aim again: <ask lost>.", "door",
    ),
    "noise": Card(
        "Picture worse everywhere, from one moment on.",
        (Means("a stranger or own sender raises the noise", 0.6), Means("damage", 0.4)),
        "Sticks still for 3 s and look. Then steer on.",
        "6 dB are half the reach: <ask fault N>.", "door",
    ),
    "refused": Card(
        "An owner refuses the field.",
        (Means("nobody may land there today", 1.0),),
        "Type refused NAME. Turn to the field told next.",
        "<Ask park>: another stand may be better.", "door",
    ),
    "restart": Card(
        "The computer is off or restarts.",
        (Means("back in a minute", 0.8), Means("it stays off", 0.2)),
        "Hold track and speed as told last.", "Start the same command again.", "door",
    ),
    "stops-at-18-km": Card(
        "No position above 18 km, the link is heard.",
        (Means("its receiver starts again below", 0.8), Means("no fix for another reason", 0.2)),
        "Type place and height off the picture.", "Without a picture: <ask lost>, and aim there.",
        "door",
    ),
    "wind-turned": Card(
        "Ground speed or drift is not as told.",
        (Means("the wind has turned or grown", 0.9), Means("it flies faster or slower", 0.1)),
        "<Ask now>: field, track and speed are new.", "Height to spare goes first: <ask putdown>.",
        "door", "winds",
    ),
    "winds-end": Card(
        "Winds were known only up to a height.",
        (Means("the climb has measured them since", 1.0),),
        "Go on by ground speed and drift as seen.", "Chances above are wider than they look.",
        "never",
    ),
    "winds-old": Card(
        "The winds are old.",
        (Means("those below are as old as they were", 1.0),),
        "Keep height in hand: the climb measured them.", "Near the ground trust what you see.",
        "never",
    ),
}  # fmt: skip
"""The cards that say another thing once no balloon carries it, by the word that is typed."""
OVER: Final = frozenset({"burst", "early-burst", "leak", "pin-never", "short-fill"})
"""The cards that count until the release alone."""
