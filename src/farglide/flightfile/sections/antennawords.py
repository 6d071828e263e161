"""Antenna words: an antenna said in a word with one or two numbers, taken apart into its keys."""

import re
from collections.abc import Mapping
from typing import Final

from farglide.flightfile.sections.antennakeys import ENDS

_NUMBERS: Final[Mapping[str, tuple[tuple[str, ...], ...]]] = {
    "stated gain": (("gain_dbi",),),
    "quarter wave": (("ground_radius_wavelengths",),),
    "collinear": (("gain_dbi",),),
    "helix": (("n_turns",),),
    "yagi": (("gain_dbi",), ("beamwidth_level_deg", "beamwidth_upright_deg")),
    "patch": (("gain_dbi",), ("beamwidth_level_deg", "beamwidth_upright_deg")),
    "dish": (("diameter_m",),),
    "turnstile": (("gain_dbi",), ("gain_dbi", "ripple_db")),
    "lobed": (("gain_dbi", "ripple_db"),),
}
"""Which keys the numbers behind a word are, by how many there are."""
_UNITS: Final[Mapping[str, tuple[str, ...]]] = {
    "gain_dbi": ("dbi",), "ripple_db": ("db",), "n_turns": ("turns", "turn"), "diameter_m": ("m",),
    "ground_radius_wavelengths": ("wavelengths", "wavelength"),
    "beamwidth_level_deg": ("deg", "°"), "beamwidth_upright_deg": ("deg", "°"),
}  # fmt: skip
"""What may stand behind each number; nothing may too."""
_NUMBER: Final = r"(-?\d+(?:\.\d+)?) ?([a-wyz]+|°)?"
_SAID: Final = re.compile(rf"([a-z][a-z ]*?) ({_NUMBER}(?:(?: ?[,x] ?| ){_NUMBER})?)")
_ONE: Final = re.compile(_NUMBER)

EXAMPLES: Final = '"yagi 14", "patch 60 80", "helix 12", "dish 0.6", "collinear 6", "turnstile 4 3"'


def with_antenna_words(row: Mapping[str, object]) -> Mapping[str, object]:
    """Return a link whose antennas said as a word with numbers stand in keys of their own.

    What does not fit stays as it is, to be refused with the words that are allowed.

    >>> with_antenna_words({"receiver_antenna": "yagi 14 dBi"})
    {'receiver_antenna': 'yagi', 'receiver_gain_dbi': 14.0}
    >>> with_antenna_words({"sender_antenna": "dish 0.6 0.6"})
    {'sender_antenna': 'dish 0.6 0.6'}
    """
    found = dict(row)
    for end in ENDS:
        said = row.get(f"{end}_antenna")
        numbers = taken_apart(said) if isinstance(said, str) else None
        keys = {f"{end}_{key}": value for key, value in (numbers or ("", {}))[1].items()}
        if numbers and not keys.keys() & row.keys():
            found |= {f"{end}_antenna": numbers[0], **keys}
    return found


def taken_apart(said: str) -> tuple[str, dict[str, float]] | None:
    """Return the word for an antenna and the numbers behind it by their keys, None without any."""
    match = _SAID.fullmatch(" ".join(said.lower().split()))
    if match is None or match[1] not in _NUMBERS:
        return None
    word, told = match[1], _ONE.findall(match[2])
    for keys in _NUMBERS[word]:
        if len(keys) == len(told) and all(
            not unit or unit in _UNITS[key] for key, (_, unit) in zip(keys, told, strict=True)
        ):
            values = {key: float(number) for key, (number, _) in zip(keys, told, strict=True)}
            return word, values
    return None
