"""Radios: the questions about each radio, its antennas, and where the crew stands with them."""

import math
import re
from collections.abc import Mapping
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
from farglide.flightfile.sections.antennakeys import BEAMS, GAIN_SPAN, QUARTER_WAVE, STATED_GAIN
from farglide.flightfile.sections.antennawords import WITH_NUMBER, refused_words, taken_apart
from farglide.flightfile.sections.links import LINKS
from farglide.flightfile.sections.places import STANDS

_LEVEL: Final = re.compile(r"([+-]?\d{1,2}(?:[.,]\d{1,3})?) ?dbm", re.ASCII)
_FREE_WORDS: Final = ("dipole", QUARTER_WAVE)
_EXAMPLES: Final[Mapping[str, str]] = {
    "yagi": "yagi 14 dBi", "patch": "patch 8 dBi", "collinear": "collinear 6 dBi",
    "turnstile": "turnstile 3 dBi", "helix": "helix 12 turns", "dish": "dish 0.6 m",
}  # fmt: skip
"""Those that are offered with their number; the flight file knows more."""
_ANTENNA: Final = (
    f"{', '.join(_FREE_WORDS)}, or like {', '.join(_EXAMPLES.values())}; of any other its gain, "
    "like 2 dBi; a number alone is a gain in dBi"
)
_NUMBERS_BEHIND: Final = re.compile(r" [-+]?\d.*")
_GAIN: Final = re.compile(r"([+-]?\d+(?:[.,]\d+)?) ?(?:dbi)?", re.ASCII)
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


def asked_radio(question: int, purpose: str, usual: str, aboard: str) -> Asked:
    """Ask for one radio: its band, its power, its antennas, and what it needs to be heard.

    `aboard`: what flies, a glider or a box.
    """
    band = number("frequency", "frequency", way(LINKS, "frequency", "mhz"), blank="no such radio")
    found = yield from in_turn(question, band)
    if not found:
        return {}
    up, down = ("receiver", "sender") if purpose == "command" else ("sender", "receiver")
    found |= yield from in_turn(
        question,
        _POWER,
        choice("kind", "it works", ("analogue", "digital"), usual),
        _antenna(up, f"antenna on the {aboard}"),
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
    """Return an antenna as the flight file says it; a refusal offers what the question shows."""
    typed = " ".join(said.lower().replace("quarter-wave", QUARTER_WAVE).split())
    if gain := _GAIN.fullmatch(typed):
        return _stated_gain(float(gain[1].replace(",", ".")))
    if typed in _FREE_WORDS or (taken_apart(typed) and not refused_words(typed)):
        return typed
    word = _NUMBERS_BEHIND.sub("", typed)
    if word in _FREE_WORDS:
        raise AnswerError(f'Behind "{word}" stands no number here. Type it alone, like "{word}".')
    if word not in _EXAMPLES:
        raise AnswerError(
            f'"{said.strip()}" is no antenna that is known here. Type a word, like "dipole", a '
            'word with its number, like "yagi 14 dBi", or the gain alone, like "2 dBi".'
        )
    example = f'like "{_EXAMPLES[word]}"'
    if not taken_apart(typed):
        raise AnswerError(f"A {word} is taken here with its number, {example}.")
    why = refused_words(typed).replace(f'as in "{WITH_NUMBER[word]}"', example)
    raise AnswerError(why[0].upper() + why[1:])


def _stated_gain(gain_dbi: float) -> str:
    low, high = GAIN_SPAN
    if not low <= gain_dbi <= high:
        allowed = f'{low:g} to {high:g} dBi, like "2 dBi"'
        raise AnswerError(f"A gain of {gain_dbi:g} dBi is not taken: allowed are {allowed}.")
    return f"{STATED_GAIN} {gain_dbi:g} dbi"


def asked_stand(question: int, launch: Document) -> Asked:
    """Ask where the antennas of the crew stand: by its name like every place, then where it is."""
    mast = number("mast", "antennas above the ground", way(STANDS, "mast", "m"), blank="2 m")
    found = yield from in_turn(question, text("name", "name of the place", "at the launch"))
    if _is_launch(found, launch):
        here = {key: value for key, value in launch.items() if key != "name"}
        return {"name": "launch stand", **here, **(yield from in_turn(question, mast))}
    drive = number("drive", "drive there from the launch, nine times in ten within",
                   way(STANDS, "drive", "min"), blank="a guess by the distance")  # fmt: skip
    where = place("where it lies")
    return found | (yield from in_turn(question, where, ground("as the launch"), mast, drive))


def _is_launch(named: Keys, launch: Document) -> bool:
    name = str(named.get("name", "")).casefold()
    return name in ("", *_AT_THE_LAUNCH, str(launch.get("name", "")).casefold())
