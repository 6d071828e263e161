"""Questions: those that make a first flight file, each of a few parts."""

import re
from collections.abc import Generator
from typing import Final

from farglide.errors import AnswerError
from farglide.flightfile.asked.crew import asked_permissions, asked_trials
from farglide.flightfile.asked.glides import asked_glide
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
from farglide.flightfile.asked.typed import Keys, typed_number, typed_word
from farglide.flightfile.sections.balloon import BALLOON, TRAIN
from farglide.flightfile.sections.glider import GLIDER
from farglide.flightfile.sections.packs import PACKS
from farglide.flightfile.sections.payload import PAYLOAD

TITLES: Final = (
    "What is the flight called, and when is it?",
    "Where does the balloon leave the hand?",
    "What hangs below the balloon, and how big is it?",
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
_BOX_TITLES: Final = {10: "Which radio tells where it is?", 11: TITLES[9]}
_RADIOS: Final = ((10, "picture", "analogue"), (11, "command", "digital"))
_BOX_RADIOS: Final = ((10, "position", "digital"), (11, "picture", "analogue"))
_OF_GLIDERS: Final = (4, 5, 9, 14)
_OF_STANDS: Final = 12
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
    yield from _hanging(doc)
    doc["balloon"] = yield from in_turn(
        6, number("mass", "mass of the empty balloon, as printed on its packing",
                  way(BALLOON, "mass", "g")),
        choice("gas", "gas", ("helium", "hydrogen")),
    )  # fmt: skip
    doc["balloon"] |= yield from in_turn(7, _FILL)
    doc["train"] = yield from in_turn(7, _LINE)
    doc["packs"] = [keys] if (keys := (yield from _pack())) else []
    is_box = "payload" in doc
    doc["fields"] = [] if is_box else (yield from _fields(doc))
    doc["links"] = []
    for question, purpose, kind in _BOX_RADIOS if is_box else _RADIOS:
        aboard = "box" if is_box else "glider"
        radio = yield from asked_radio(question, purpose, kind, aboard)
        doc["links"] += [radio] if radio else []
    stand = (yield from asked_stand(_OF_STANDS, doc["launch"])) if doc["links"] else {}
    doc["stands"] = [stand] if stand else []
    doc["permissions"] = yield from asked_permissions(13, doc)
    doc["crew"] = {} if is_box else (yield from asked_trials(14))


def asked_questions(doc: Document) -> tuple[int, ...]:
    """Return the questions that are asked of a document, as far as it tells by now."""
    left_out = _OF_GLIDERS if "payload" in doc else ()
    has_no_stand = doc.get("stands") == []
    return tuple(
        question for question in range(1, len(TITLES) + 1)
        if question not in left_out and not (question == _OF_STANDS and has_no_stand)
    )  # fmt: skip


def question_title(question: int, doc: Document) -> str:
    """Return a question with its place among those that are asked of a document."""
    asked = asked_questions(doc)
    title = TITLES[question - 1]
    title = _BOX_TITLES.get(question, title) if "payload" in doc else title
    return f"{asked.index(question) + 1} of {len(asked)}. {title}"


def left_out_note(question: int, doc: Document) -> str:
    """Return what is left out just before a question for want of a radio; empty if nothing is."""
    if question != _OF_STANDS + 1 or _OF_STANDS in asked_questions(doc):
        return ""
    return f'Left out without a radio: "{TITLES[_OF_STANDS - 1]}"'


_FILL: Final = number(
    "fill", "the weight that the filled balloon just holds up, or the mean climb, or burst height",
    way(BALLOON, "neck_lift", "g"), way(BALLOON, "mean_ascent", "mps"),
    way(BALLOON, "burst_height_amsl", "m"), blank="a climb of 5.5 m/s",
)  # fmt: skip
_LINE: Final = number(
    "line", "line, hook and all between balloon and load weigh", way(TRAIN, "line", "g"),
    blank="a guess of 100 g",
)  # fmt: skip


_CARRIED: Final = Part(
    key="carried", ask="below the balloon hangs", limits="glider, or box: one under a parachute",
    take=lambda said: {"carried": typed_word(said, ("glider", "box"))}, blank="a glider",
)  # fmt: skip


def _hanging(doc: Document) -> Generator[Turn, Keys, None]:
    """Ask for the glider, or for the box that flies in its place."""
    carried = yield from in_turn(3, _CARRIED)
    if carried.get("carried") != "box":
        yield from _glider(doc)
        return
    mass = number("mass", "mass of the box, with its parachute", way(PAYLOAD, "mass", "g"))
    canopy = number("canopy", "diameter of its open parachute", way(PAYLOAD, "canopy", "cm"))
    doc["payload"] = {}
    doc["payload"] |= yield from in_turn(3, mass, canopy)


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
    doc["glider"] |= yield from asked_glide(4)
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
        named = yield from in_turn(9, text("name", f"name of {what}", "no more places"))
        if not named:
            break
        found.append(
            named | (yield from in_turn(9, place("where it lies"), ground("as the launch")))
        )
    return found
