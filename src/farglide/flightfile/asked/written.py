"""Written: what was answered as a flight file that a person reads, each line with its comment."""

import json
from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime
from typing import Final

from farglide.flightfile.asked.parts import Document
from farglide.flightfile.flightfile import EVERY
from farglide.flightfile.sections.flight import PERMISSIONS

_COMMENT_AT: Final = 40
_ABOUT: Final[Mapping[str, str]] = {
    "launch": "where the balloon leaves the hand",
    "train": "what hangs between balloon and glider",
    "packs": "one for each battery pack: repeat it",
    "fields": "places to land; the first is home: repeat it",
    "links": "one for each radio way: repeat it",
    "stands": "one for each place with the antennas: repeat it",
    "permissions": '"held", "asked", "not needed" or "missing"',
    "wind": "a sounding or a forecast for the launch",
    "crew": "what was tried before the flight",
}
_NOTES: Final[Mapping[str, str]] = {
    "flight.name": "what you call it",
    "flight.launch_at": "date, time, and offset from UTC (or Z for UTC)",
    "flight.zone": "zone of printed times",
    "wind.file": "beside this file",
    "lat": "north positive, south negative",
    "lon": "east positive, west negative",
    "amsl": "ground above mean sea level, off a map",
    "balloon.mass": "printed on the box",
    "balloon.gas": '"helium" or "hydrogen"',
    "balloon.neck_lift": "what just floats at the neck of the right fill",
    "balloon.mean_ascent": "the mean climb wanted; the fill follows",
    "balloon.burst_height_amsl": "the burst height wanted; the fill follows",
    "train.line": "line, hook and all between balloon and glider",
    "glider.mass": "ready to fly",
    "glider.span": "tip to tip",
    "glider.chord": "the mean one",
    "glider.glided": "way over the ground of one glide in calm air ...",
    "glider.glided_from_agl": "... that began so high above the ground",
    "glider.top_eas": "fastest flown without flutter, as felt by the wing",
    "packs.energy": "mAh * volts / 1000",
    "packs.load": "all on",
    "links.frequency": "the band, its middle",
    "links.power": "out of the transmitter",
    "links.kind": '"analogue" fades, "digital" freezes',
    "links.sender_antenna": "with its number: dBi, turns or metres",
    "links.receiver_antenna": "with its number: dBi, turns or metres",
    "links.sender_pointing": "of its wire or beam, on the glider",
    "links.receiver_pointing": "of its wire or beam, on the glider",
    "links.sensitivity": "the weakest that works, off the receiver's sheet",
    "links.reached": "it once just reached as far",
    "permissions.airspace": "the balloon in the airspace",
    "permissions.aircraft": "the glider after the release, out of sight",
    "permissions.command_radio": "band, power and use in the air",
    "permissions.picture_radio": "band, power and use in the air",
    "permissions.land": "launch place and every field",
    "crew.n_releases": "tried so far, failed ones too",
    "crew.n_release_failures": "how many of them failed",
    "crew.n_pullouts": "flown so far, failed ones too",
    "crew.n_pullout_failures": "how many of them failed",
    "stands.mast": "antennas above the ground",
    "stands.drive": "from the launch, nine times in ten, at legal speed",
}  # fmt: skip
_OURS: Final = ("packs.name", "links.name", "links.purpose")
"""Keys that the questions fill, not the person."""
_HEAD: Final = """\
# A flight file: one glider, one balloon, one day.
# The balloon carries the glider up, the crew releases it near the top, and it is flown home by its
# picture. State below what you know; farglide answers whether it can come home, from where, and
# until when.
#
# Every key ends in its unit. What stands here counts as measured. What is left out is a guess: the
# plan lists each with what it costs, and farglide check FILE with what would settle it.
"""


def flight_text(doc: Document, mark: str = "") -> str:
    """Return a flight file with what a document states, in the order of `farglide new`.

    `mark`: stands before every comment of a number or place. A permission that it does not state is
    missing.
    """
    held = dict.fromkeys(PERMISSIONS, "missing") | doc.get("permissions", {})
    doc = {**doc, "permissions": held}
    lines = [_HEAD]
    for section in (one for one in EVERY if one.name in doc):
        rows = doc[section.name]
        tables = rows if isinstance(rows, list) else [rows]
        for i, keys in enumerate(tables):
            about = _ABOUT.get(section.name, "") if i == 0 else ""
            lines += [_line(section.title, about), *_lines(section.name, keys, mark), ""]
    return "\n".join(lines[:-1]) + "\n"


def _lines(section: str, keys: Mapping[str, object], mark: str) -> Iterator[str]:
    for key, value in keys.items():
        base = key.rpartition("_")[0]
        note = next(
            (_NOTES[name] for name in (f"{section}.{key}", f"{section}.{base}", base)
             if name in _NOTES), "",
        )  # fmt: skip
        told = f"{mark}: {note}".strip(": ") if mark and f"{section}.{key}" not in _OURS else note
        yield _line(f"{key} = {_value(value)}", told)


def _line(said: str, note: str) -> str:
    return f"{said:<{_COMMENT_AT}} # {note}" if note else said


def _value(value: object) -> str:
    if isinstance(value, datetime):
        return value.isoformat()
    if isinstance(value, Sequence) and not isinstance(value, str):
        return f"[{', '.join(map(_value, value))}]"
    return json.dumps(value, ensure_ascii=False)
