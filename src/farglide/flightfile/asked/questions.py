"""Questions: the twelve that make a first flight file, each of a few parts."""

import re
from collections.abc import Generator
from typing import Any, Final, NamedTuple

from farglide.errors import AnswerError
from farglide.flightfile.asked.parts import Part, choice, moment, number, place, text, way
from farglide.flightfile.asked.typed import Keys, typed_number
from farglide.flightfile.sections.antennakeys import BEAMS, QUARTER_WAVE
from farglide.flightfile.sections.antennawords import taken_apart
from farglide.flightfile.sections.balloon import BALLOON, TRAIN
from farglide.flightfile.sections.glider import GLIDER
from farglide.flightfile.sections.launching import LAUNCH_PLACES
from farglide.flightfile.sections.links import LINKS
from farglide.flightfile.sections.packs import PACKS
from farglide.flightfile.sections.places import STANDS

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
)
MOST_FIELDS: Final = 12
_FREE_WORDS: Final = ("dipole", QUARTER_WAVE)
_ANTENNA: Final = (
    "dipole, quarter wave, or like yagi 14 dBi, patch 8 dBi, collinear 6 dBi, turnstile 3 dBi, "
    "helix 12 turns, dish 0.6 m, stated gain 2 dBi"
)
_CHARGE: Final = re.compile(r"([\d.]+)\s*mah\s*[x*,at ]*\s*([\d.]+)\s*v(?:olts?)?")
_AMSL: Final = way(LAUNCH_PLACES, "amsl", "m")

Document = dict[str, Any]


class Turn(NamedTuple):
    """The part that is to be answered now, and of which question, counted from 1."""

    question: int
    part: Part


Asked = Generator[Turn, Keys, Keys]


def script(doc: Document) -> Generator[Turn, Keys, None]:
    """Yield each part in turn, be sent its keys (none: left blank), and fill the document."""
    named = text("name", "name of the flight", "the name of the file")
    doc["flight"] = yield from _all(1, named, moment("date and time of the launch, with its zone"))
    winds = text(
        "file", "file of the winds", "given later, as --winds", "its name, beside the flight file"
    )
    doc["wind"] = yield from _all(1, winds)
    spot = text("name", "name of the launch place", '"the launch place"')
    doc["launch"] = yield from _all(
        2, spot, place("where it lies"), _ground("taken from the fields")
    )
    yield from _glider(doc)
    doc["balloon"] = yield from _all(
        6, number("mass", "mass printed on the box", way(BALLOON, "mass", "g")),
        choice("gas", "gas", ("helium", "hydrogen")),
    )  # fmt: skip
    doc["balloon"] |= yield from _all(7, _FILL)
    doc["train"] = yield from _all(7, _LINE)
    doc["packs"] = [keys] if (keys := (yield from _pack())) else []
    doc["fields"] = yield from _fields(doc)
    doc["links"] = []
    for question, purpose, kind in ((10, "picture", "analogue"), (11, "command", "digital")):
        radio = yield from _radio(question, purpose, kind)
        doc["links"] += [radio] if radio else []
    doc["stands"] = [(yield from _stand(doc))] if doc["links"] else []


_FILL: Final = number(
    "fill", "what just floats at the neck, or climb, or burst height",
    way(BALLOON, "neck_lift", "g"), way(BALLOON, "mean_ascent", "mps"),
    way(BALLOON, "burst_height_amsl", "m"), blank="a climb of 5.5 m/s",
)  # fmt: skip
_LINE: Final = number(
    "line", "line, hook and all between balloon and glider weigh", way(TRAIN, "line", "g"),
    blank="a guess of 100 g",
)  # fmt: skip


def _all(question: int, *parts: Part) -> Generator[Turn, Keys, Document]:
    found: Document = {}
    for part in parts:
        found |= yield Turn(question, part)
    return found


def _ground(blank: str) -> Part:
    return number("amsl", "height of the ground above sea level", _AMSL, blank=blank)


def _glider(doc: Document) -> Generator[Turn, Keys, None]:
    mass = number("mass", "mass, ready to fly", way(GLIDER, "mass", "g"))
    span = number("span", "span", way(GLIDER, "span", "cm"))
    chord = number("chord", "mean chord", way(GLIDER, "chord", "cm"), blank="a fifth of the span")
    doc["glider"] = yield from _all(3, mass, span, chord)
    far = number("glided", "way over the ground of a glide in calm air", way(GLIDER, "glided", "m"),
                 blank="no such glide: a guess")  # fmt: skip
    glided = yield from _all(4, far)
    if glided:
        high = number("glided_from", "height above the ground that it began at",
                      way(GLIDER, "glided_from_agl", "m"))  # fmt: skip
        glided |= yield from _all(4, high)
    doc["glider"] |= glided
    top = number(
        "top", "top speed", way(GLIDER, "top_eas", "kmph"), blank="no more than best glide"
    )
    doc["glider"] |= yield from _all(5, top)


def _pack() -> Generator[Turn, Keys, Document]:
    energy = Part(
        key="energy", ask="energy", limits="0.05 to 1000 Wh, or like 2600 mAh 11.1 V",
        take=_energy, blank="no battery stated",
    )  # fmt: skip
    found = yield from _all(8, energy)
    if not found:
        return {}
    load = number("load", "load, all on", way(PACKS, "load", "w"))
    return {"name": "all", **found, **(yield from _all(8, load))}


def _energy(said: str) -> Keys:
    charge = _CHARGE.fullmatch(" ".join(said.lower().replace(",", ".").split()))
    if charge is None:
        return typed_number(said, (way(PACKS, "energy", "wh"),))
    try:
        watt_hours = float(charge[1]) * float(charge[2]) / 1000.0
    except ValueError:
        raise AnswerError(f'"{said.strip()}" is no charge. Type it like 2600 mAh 11.1 V.') from None
    return typed_number(f"{watt_hours:.4g} Wh", (way(PACKS, "energy", "wh"),))


def _fields(doc: Document) -> Generator[Turn, Keys, list[Document]]:
    home = choice("home", "is the launch place home, to land on?", ("yes", "no"), "yes")
    is_home = (yield from _all(9, home)).get("home") != "no"
    name = doc["launch"].get("name", "the launch place")
    found = [{**doc["launch"], "name": name}] if is_home else []
    while len(found) < MOST_FIELDS:
        what = "one more place to land" if found else "the place to land that counts as home"
        named = yield from _all(9, text("name", what, "no more places"))
        if not named:
            break
        found.append(named | (yield from _all(9, place("where it lies"), _ground("as the launch"))))
    return found


def _radio(question: int, purpose: str, usual: str) -> Generator[Turn, Keys, Document]:
    band = number("frequency", "frequency", way(LINKS, "frequency", "mhz"), blank="no such radio")
    found = yield from _all(question, band)
    if not found:
        return {}
    up, down = ("receiver", "sender") if purpose == "command" else ("sender", "receiver")
    found |= yield from _all(
        question,
        number("power", "power of the transmitter", way(LINKS, "power", "mw")),
        choice("kind", "it works", ("analogue", "digital"), usual),
        _antenna(up, "antenna on the glider"),
    )
    word = str(found.get(f"{up}_antenna", "")).rstrip("0123456789. ")
    if word in (*BEAMS, QUARTER_WAVE):
        usual_way = "down" if word == QUARTER_WAVE else ""
        points = choice(f"{up}_pointing", "it points", ("down", "up", "level"), usual_way)
        found |= {f"{up}_pointing": usual_way} if usual_way else {}
        found |= yield from _all(question, points)
    found |= yield from _all(question, _antenna(down, "antenna on the ground"), number(
        "threshold", "weakest signal that works, off the receiver's sheet, or how far it once got",
        way(LINKS, "sensitivity", "dbm"), way(LINKS, "reached", "km"),
    ))  # fmt: skip
    return {"name": purpose, "purpose": purpose, "kind": found.pop("kind", usual), **found}


def _antenna(end: str, ask: str) -> Part:
    key = f"{end}_antenna"
    return Part(key=key, ask=ask, limits=_ANTENNA, take=lambda said: {key: _antenna_word(said)},
                blank="not known: 0 dBi all round")  # fmt: skip


def _antenna_word(said: str) -> str:
    typed = " ".join(said.lower().split())
    if typed in _FREE_WORDS or taken_apart(typed):
        return typed
    raise AnswerError(f'"{said.strip()}" is none of these, with its number: {_ANTENNA}.')


def _stand(doc: Document) -> Generator[Turn, Keys, Document]:
    mast = number("mast", "antennas above the ground", way(STANDS, "mast", "m"), blank="2 m")
    found = yield from _all(12, place("where they stand", "at the launch"))
    if not found:
        launch = {key: doc["launch"][key] for key in ("lat_deg", "lon_deg")}
        return {"name": "launch stand", **launch, **(yield from _all(12, mast))}
    drive = number("drive", "drive there from the launch, nine times in ten within",
                   way(STANDS, "drive", "min"), blank="a guess by the distance")  # fmt: skip
    rest = yield from _all(
        12, text("name", "name of that stand", '"stand"'), _ground("as the launch"), mast, drive
    )
    return {"name": "stand", **found, **rest}
