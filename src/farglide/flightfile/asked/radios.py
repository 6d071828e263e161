"""Radios: the questions about each radio, its antennas, and where the crew stands with them."""

import math
import re
from typing import Final

from farglide.errors import AnswerError
from farglide.flightfile.asked.parts import (
    Asked,
    Document,
    Part,
    choice,
    ground,
    in_turn,
    number,
    place,
    text,
    way,
)
from farglide.flightfile.asked.typed import Keys, limits_text, typed_number
from farglide.flightfile.sections.antennakeys import BEAMS, QUARTER_WAVE, STATED_GAIN
from farglide.flightfile.sections.antennawords import WITH_NUMBER, refused_words, taken_apart
from farglide.flightfile.sections.links import LINKS
from farglide.flightfile.sections.places import STANDS

_LEVEL: Final = re.compile(r"([+-]?\d{1,2}(?:[.,]\d{1,3})?) ?dbm", re.ASCII)
_FREE_WORDS: Final = ("dipole", QUARTER_WAVE)
_ANTENNA: Final = (
    "dipole, quarter wave, or like yagi 14 dBi, patch 8 dBi, collinear 6 dBi, turnstile 3 dBi, "
    "helix 12 turns, dish 0.6 m; of any other its gain, like 2 dBi"
)
_AT_THE_LAUNCH: Final = ("at the launch", "the launch", "launch", "launch stand")


def _power(said: str) -> Keys:
    """Return a power, which may be typed as a level."""
    level = _LEVEL.fullmatch(" ".join(said.lower().split()))
    if level is None:
        return typed_number(said, (_MILLIWATTS,))
    power_mw = math.pow(10.0, 0.1 * float(level[1].replace(",", ".")))
    return typed_number(f"{power_mw:.4f}", (_MILLIWATTS,))


_MILLIWATTS: Final = way(LINKS, "power", "mw")
_POWER: Final = Part(
    key="power", ask="power of the transmitter", limits=f"{limits_text(_MILLIWATTS)}, dBm too",
    take=_power,
)  # fmt: skip


def asked_radio(question: int, purpose: str, usual: str) -> Asked:
    """Ask for one radio: its band, its power, its antennas, and what it needs to be heard."""
    band = number("frequency", "frequency", way(LINKS, "frequency", "mhz"), blank="no such radio")
    found = yield from in_turn(question, band)
    if not found:
        return {}
    up, down = ("receiver", "sender") if purpose == "command" else ("sender", "receiver")
    found |= yield from in_turn(
        question,
        _POWER,
        choice("kind", "it works", ("analogue", "digital"), usual),
        _antenna(up, "antenna on the glider"),
    )
    word = str(found.get(f"{up}_antenna", "")).rstrip("0123456789. ")
    if word in (*BEAMS, QUARTER_WAVE):
        usual_way = "down" if word == QUARTER_WAVE else ""
        points = choice(f"{up}_pointing", "it points", ("down", "up", "level"), usual_way)
        found |= {f"{up}_pointing": usual_way} if usual_way else {}
        found |= yield from in_turn(question, points)
    found |= yield from in_turn(question, _antenna(down, "antenna on the ground"), number(
        "threshold", "weakest signal that works, off the receiver's sheet, or how far it once got",
        way(LINKS, "sensitivity", "dbm"), way(LINKS, "reached", "km"),
    ))  # fmt: skip
    return {"name": purpose, "purpose": purpose, "kind": found.pop("kind", usual), **found}


def _antenna(end: str, ask: str) -> Part:
    key = f"{end}_antenna"
    return Part(key=key, ask=ask, limits=_ANTENNA, take=lambda said: {key: _antenna_word(said)},
                blank="not known: 0 dBi all round")  # fmt: skip


def _antenna_word(said: str) -> str:
    typed = " ".join(said.lower().replace("quarter-wave", QUARTER_WAVE).split())
    alone = f"{STATED_GAIN} {typed}"
    if typed.endswith("dbi") and taken_apart(alone) and not refused_words(alone):
        return alone
    why = refused_words(typed)
    if not why and typed not in _FREE_WORDS and not taken_apart(typed):
        example = WITH_NUMBER.get(typed, "dipole")
        why = f'a {typed} is taken here with its number, like "{example}".'
    if why:
        raise AnswerError(why[0].upper() + why[1:])
    return typed


def asked_stand(question: int, launch: Document) -> Asked:
    """Ask where the antennas of the crew stand: by its name like every place, then where it is."""
    mast = number("mast", "antennas above the ground", way(STANDS, "mast", "m"), blank="2 m")
    found = yield from in_turn(question, text("name", "name of the place", "at the launch"))
    if _is_launch(found, launch):
        here = {key: launch[key] for key in ("lat_deg", "lon_deg")}
        return {"name": "launch stand", **here, **(yield from in_turn(question, mast))}
    drive = number("drive", "drive there from the launch, nine times in ten within",
                   way(STANDS, "drive", "min"), blank="a guess by the distance")  # fmt: skip
    where = place("where it lies")
    return found | (yield from in_turn(question, where, ground("as the launch"), mast, drive))


def _is_launch(named: Keys, launch: Document) -> bool:
    name = str(named.get("name", "")).casefold()
    return name in ("", *_AT_THE_LAUNCH, str(launch.get("name", "")).casefold())
