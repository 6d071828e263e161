"""Questions: those that make a first flight file, each of a few parts."""

import re
from collections.abc import Generator
from typing import Final

from farglide.errors import AnswerError
from farglide.flightfile.asked.crew import asked_permissions, asked_trials
from farglide.flightfile.asked.parts import (
    Asked,
    Document,
    Part,
    Turn,
    choice,
    ground,
    in_turn,
    moment,
    number,
    place,
    text,
    way,
)
from farglide.flightfile.asked.radios import asked_radio, asked_stand
from farglide.flightfile.asked.typed import Keys, typed_number
from farglide.flightfile.sections.balloon import BALLOON, TRAIN
from farglide.flightfile.sections.glider import GLIDER
from farglide.flightfile.sections.packs import PACKS

TITLES: Final = (
    "What is the flight called, and when is it?",
    "Where does the balloon leave the hand?",
    "What does the glider weigh and measure?",
    "How far has it glided, and from what height?",
    "How fast has it been flown without flutter?",
    "Which balloon, and which gas?",
    "How full is the balloon?",
    "What is its battery, and what does it feed?",
    "Where may it land?",
    "Which radio sends the picture down?",
    "Which radio sends commands up?",
    "Where do the antennas of the crew stand?",
    "What do you hold a permission for?",
    "How often have release and pull-out been tried?",
)
MOST_FIELDS: Final = 12
_CHARGE: Final = re.compile(r"([\d.]+)\s*mah\s*[x*,at ]*\s*([\d.]+)\s*v(?:olts?)?")
_CHARGE_ALONE: Final = re.compile(r"[\d.]+\s*m?ah\b.*")


def script(doc: Document) -> Generator[Turn, Keys, None]:
    """Yield each part in turn, be sent its keys (none: left blank), and fill the document."""
    named = text("name", "name of the flight", "the name of the file")
    doc["flight"] = yield from in_turn(
        1, named, moment("date and time of the launch, with its zone")
    )
    winds = text(
        "file", "file of the winds", "given later, as --winds", "its name, beside the flight file"
    )
    doc["wind"] = yield from in_turn(1, winds)
    spot = text("name", "name of the launch place", '"the launch place"')
    doc["launch"] = yield from in_turn(2, spot, place("where it lies"), ground())
    yield from _glider(doc)
    doc["balloon"] = yield from in_turn(
        6, number("mass", "mass printed on the box", way(BALLOON, "mass", "g")),
        choice("gas", "gas", ("helium", "hydrogen")),
    )  # fmt: skip
    doc["balloon"] |= yield from in_turn(7, _FILL)
    doc["train"] = yield from in_turn(7, _LINE)
    doc["packs"] = [keys] if (keys := (yield from _pack())) else []
    doc["fields"] = yield from _fields(doc)
    doc["links"] = []
    for question, purpose, kind in ((10, "picture", "analogue"), (11, "command", "digital")):
        radio = yield from asked_radio(question, purpose, kind)
        doc["links"] += [radio] if radio else []
    doc["stands"] = [(yield from asked_stand(12, doc["launch"]))] if doc["links"] else []
    doc["permissions"] = yield from asked_permissions(13, {one["purpose"] for one in doc["links"]})
    doc["crew"] = yield from asked_trials(14)


_FILL: Final = number(
    "fill", "the weight that the filled balloon just holds up, or the mean climb, or burst height",
    way(BALLOON, "neck_lift", "g"), way(BALLOON, "mean_ascent", "mps"),
    way(BALLOON, "burst_height_amsl", "m"), blank="a climb of 5.5 m/s",
)  # fmt: skip
_LINE: Final = number(
    "line", "line, hook and all between balloon and glider weigh", way(TRAIN, "line", "g"),
    blank="a guess of 100 g",
)  # fmt: skip


def _glider(doc: Document) -> Generator[Turn, Keys, None]:
    mass = number("mass", "mass, ready to fly", way(GLIDER, "mass", "g"))
    span = number("span", "span", way(GLIDER, "span", "cm"))
    chord = number(
        "chord",
        "width of the wing from front to back, in the mean",
        way(GLIDER, "chord", "cm"),
        blank="a fifth of the span",
    )
    doc["glider"] = yield from in_turn(3, mass, span, chord)
    far = number("glided", "way over the ground of a glide in calm air", way(GLIDER, "glided", "m"),
                 blank="no such glide: a guess")  # fmt: skip
    glided = yield from in_turn(4, far)
    if glided:
        high = number("glided_from", "height above the ground that it began at",
                      way(GLIDER, "glided_from_agl", "m"))  # fmt: skip
        glided |= yield from in_turn(4, high)
    doc["glider"] |= glided
    top = number(
        "top", "top speed", way(GLIDER, "top_eas", "kmph"), blank="no more than best glide"
    )
    doc["glider"] |= yield from in_turn(5, top)


def _pack() -> Asked:
    energy = Part(
        key="energy", ask="energy", limits="0.05 to 1000 Wh, or like 2600 mAh 11.1 V",
        take=_energy, blank="no battery stated",
    )  # fmt: skip
    found = yield from in_turn(8, energy)
    if not found:
        return {}
    load = number("load", "load, all on", way(PACKS, "load", "w"))
    return {"name": "all", **found, **(yield from in_turn(8, load))}


def _energy(said: str) -> Keys:
    charge = _CHARGE.fullmatch(" ".join(said.lower().replace(",", ".").split()))
    if charge is None and _CHARGE_ALONE.fullmatch(said.strip().lower()):
        raise AnswerError("Milliamp-hours need the volts of the pack: type like 2600 mAh 11.1 V.")
    if charge is None:
        return typed_number(said, (way(PACKS, "energy", "wh"),))
    try:
        watt_hours = float(charge[1]) * float(charge[2]) / 1000.0
    except ValueError:
        raise AnswerError(f'"{said.strip()}" is no charge. Type it like 2600 mAh 11.1 V.') from None
    return typed_number(f"{watt_hours:.4g} Wh", (way(PACKS, "energy", "wh"),))


def _fields(doc: Document) -> Generator[Turn, Keys, list[Document]]:
    home = choice("home", "is the launch place home, to land on?", ("yes", "no"), "yes")
    is_home = (yield from in_turn(9, home)).get("home") != "no"
    name = doc["launch"].get("name", "the launch place")
    found = [{**doc["launch"], "name": name}] if is_home else []
    while len(found) < MOST_FIELDS:
        what = "one more place to land" if found else "the place to land that counts as home"
        named = yield from in_turn(9, text("name", what, "no more places"))
        if not named:
            break
        found.append(
            named | (yield from in_turn(9, place("where it lies"), ground("as the launch")))
        )
    return found
