"""Antenna words: an antenna said in a word with one or two numbers, taken apart into its keys."""

import difflib
import re
from collections.abc import Mapping
from typing import Final

from farglide.flightfile.entries import quoted
from farglide.flightfile.reading.meant import plain, tidy
from farglide.flightfile.sections.antennakeys import (
    ANTENNAS,
    ENDS,
    GAIN_SPAN,
    POINTINGS,
    POLARISATIONS,
    SENDER,
)

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

_MEANINGS: Final[Mapping[str, str]] = {
    "gain_dbi": "its gain in dBi", "ripple_db": "crest to trough of its gain in dB",
    "n_turns": "its count of full turns", "diameter_m": "its diameter in metres",
    "ground_radius_wavelengths": "how far metal reaches round its foot in wavelengths",
    "beamwidth_level_deg": "its beamwidth from side to side in degrees",
    "beamwidth_upright_deg": "that from bottom to top",
}  # fmt: skip
_SPANS: Final[Mapping[str, tuple[float, float]]] = {
    "gain_dbi": GAIN_SPAN,
    **{row.key.removeprefix("sender_"): row.span for row in SENDER},
}
WITH_NUMBER: Final[Mapping[str, str]] = {
    "stated gain": "stated gain 2", "quarter wave": "quarter wave 2", "collinear": "collinear 6",
    "helix": "helix 12", "yagi": "yagi 14", "patch": "patch 60 80", "dish": "dish 0.6",
    "turnstile": "turnstile 4 3", "lobed": "lobed 2 6",
}  # fmt: skip
"""Each word with the numbers that may stand behind it, as an example."""
EXAMPLES: Final = '"yagi 14", "patch 60 80", "helix 12", "dish 0.6", "collinear 6", "turnstile 4 3"'


def with_antenna_words(row: Mapping[str, object]) -> Mapping[str, object]:
    """Return a link whose antennas said as a word with numbers stand in keys of their own.

    What does not fit stays as it is, to be refused with what `refused_words` tells.

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
        if numbers and not keys.keys() & row.keys() and not _outside(*numbers):
            found |= {f"{end}_antenna": numbers[0], **keys}
    return found


def misread(key: str, row: Mapping[str, object]) -> str:
    """Return why the word under a key of a link is no antenna; empty where the key is another."""
    said, end = row.get(key), key.removesuffix("_antenna")
    if end not in ENDS or not isinstance(said, str) or said.strip().lower() in ANTENNAS:
        return ""
    found = taken_apart(said)
    twice = [f"{end}_{one}" for one in (found[1] if found else ()) if f"{end}_{one}" in row]
    if twice:
        return f"what stands behind the word, {twice[0]} states too. Keep one of them."
    return refused_words(said)


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


def refused_words(said: str) -> str:
    """Return why a word with numbers is no antenna, and an example; empty where it is one.

    >>> refused_words("yagi 14"), refused_words("dish 60")
    ('', 'a dish of 60 is not taken: its diameter in metres is 0.02 to 30, as in "dish 0.6".')
    """
    typed = " ".join(said.lower().split())
    longest_first = sorted(ANTENNAS, key=len, reverse=True)
    word = next((one for one in longest_first if f"{typed} ".startswith(f"{one} ")), "")
    if typed == word:
        return ""  # its numbers may stand in keys of their own
    if word in WITH_NUMBER:
        found = taken_apart(typed)
        return _outside(*found) if found else _behind(word)
    if word:
        return f'behind "{word}" stands no number. Write "{word}".'
    near = difflib.get_close_matches(typed.rstrip("0123456789. "), ANTENNAS, n=1)
    ask = f' Did you mean "{near[0]}"?' if near else ""
    words = ", ".join(f'"{one}"' for one in ANTENNAS)
    return (
        f"{tidy(said)} is no word for an antenna.{ask} Allowed: {words}; most with a number behind "
        f'the word, as in {EXAMPLES}; for any other its gain, as in "stated gain 2".'
    )


def end_words(end: str, side: str) -> dict[str, str]:
    """Return what the keys without numbers of one end mean, for the page of keys."""
    return {
        f"{end}_antenna": f"on {side}: {quoted(ANTENNAS)}; with its one or two numbers behind the "
        f"word, ``{EXAMPLES}``, or in keys of their own; else only its gain counts, the same "
        "in every direction. A gain more than 3 dB off that of its formula is asked about. Left "
        "out: turns of a helix one wavelength round and 0.236 of that apart; metal without end "
        "below a quarter wave; one beamwidth as the other, or both as the gain has them; a "
        "turnstile even out to 90°, a lobed one to 180°",
        f"{end}_pointing": "where its axis points, the wire of an upright antenna, the boresight "
        f"of a beam: {quoted(POINTINGS[1:])}. Aimed is by hand or tracker from the ground. Left "
        "out: a beam on the ground is aimed, a turnstile or lobed one on the glider points down, "
        "the others up",
        f"{end}_polarisation": f"{quoted(POLARISATIONS[1:])}; state both ends or none",
        f"{end}_pattern_file": "of a measured antenna: a CSV file beside the flight file with the "
        "columns ``angle_deg`` off the axis and ``gain_dbi``, five rows or more, no hole wider "
        "than 30°; 0 to 180 stands for both sides",
        f"{end}_pattern_upright_file": "of one measured in two planes, that from bottom to top; "
        f"``{end}_pattern_file`` is then that from side to side",
    }


def _behind(word: str) -> str:
    """Return what stands behind a word, with an example."""
    ways = [" and ".join(_MEANINGS[key] for key in keys) for keys in _NUMBERS[word]]
    return f'behind "{word}" stands {"; or ".join(ways)}. Write like "{WITH_NUMBER[word]}".'


def _outside(word: str, numbers: Mapping[str, float]) -> str:
    """Return which of the numbers behind a word is not allowed; empty where all are."""
    for key, value in numbers.items():
        low, high = _SPANS[key]
        if not low <= value <= high or (key == "n_turns" and value != round(value)):
            allowed = f"{_MEANINGS[key]} is {plain(low)} to {plain(high)}"
            example = f'as in "{WITH_NUMBER[word]}"'
            return f"a {word} of {plain(value)} is not taken: {allowed}, {example}."
    return ""
