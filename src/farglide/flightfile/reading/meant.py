"""Meant: a value of a file as a short text, and the number that a person probably meant by it."""

import re
from typing import Final

from farglide.errors import THIN_SPACE, figure, is_number
from farglide.units import KNOT_MPS

_INSTEAD: Final = {
    ("km", "m"): 1e3, ("m", "km"): 1e-3, ("cm", "m"): 1e-2, ("g", "kg"): 1e-3, ("kg", "g"): 1e3,
    ("min", "s"): 60.0, ("h", "min"): 60.0, ("%", "ratio"): 1e-2, ("km/h", "mps"): 1.0 / 3.6,
    ("kt", "mps"): KNOT_MPS, ("m/s", "kmph"): 3.6,
}  # fmt: skip
"""What a number in one unit is multiplied with to be one in another, where they are mixed up."""
_NUMBER: Final = re.compile(r"[+-]?\d+([.,]\d+)?", re.ASCII)
_ANGLE_MARKS: Final = str.maketrans(dict.fromkeys("°º'′’\"″", " ") | {"−": "-", ",": "."})
_TIDY_LENGTH: Final = 40


def bare_number(value: object, key: str = "") -> str:
    """Return the number that a text or a list probably means, 1.0 where it means none.

    In the unit at the end of the key, where the text names another one; an angle in degrees,
    minutes and seconds in decimal degrees.

    >>> bare_number("0,68"), bare_number("heavy"), bare_number("20 km", "wanted_amsl_m")
    ('0.68', '1.0', '20000')
    >>> bare_number([0.5]), bare_number("25°01S", "lat_deg")
    ('0.5', '-25.016667')
    """
    if isinstance(value, list) and len(value) == 1 and is_number(value[0]):
        return plain(value[0])
    if key.endswith("_deg") and isinstance(value, str) and (degrees := degrees_text(value)):
        return degrees
    found = list(_NUMBER.finditer(value)) if isinstance(value, str) else []
    if len(found) > 1:  # degrees and minutes, a range: no one number is meant
        return "1.0 (one decimal number)"
    if not found:
        return "1.0"
    number = found[0][0].replace(",", ".")
    unit = str(value)[found[0].end() :].strip().lower()
    times = _INSTEAD.get((unit, key.rpartition("_")[2]))
    return number if times is None else plain(float(number) * times)


def tidy(value: object) -> str:
    """Return any value of the file as a short text on one line."""
    if isinstance(value, bool):
        return str(value).lower()
    text = f'"{value}"' if isinstance(value, str) else _safe_text(value)
    text = " ".join(text.split())
    return text if len(text) <= _TIDY_LENGTH else text[: _TIDY_LENGTH - 1] + "…"


def as_path(name: str) -> str:
    r"""Return the name of a file with the strokes that every computer takes.

    >>> as_path(r"winds\today.csv")
    'winds/today.csv'
    """
    return name.replace("\\", "/")


def _safe_text(value: object) -> str:
    try:
        return str(value)
    except ValueError:  # a whole number of more digits than Python turns into text
        return "a number of thousands of digits"


def plain(number: float) -> str:
    """Return a number without needless digits, as people write it and a file takes it.

    >>> plain(1600.0), plain(0.05), plain(1e-5), plain(1e6)
    ('1600', '0.05', '0.00001', '1000000')
    """
    return figure(number).replace(THIN_SPACE, "")


def degrees_text(text: str) -> str:
    """Return an angle in decimal degrees, south and west negative; nothing where it is none.

    >>> [degrees_text(one) for one in ("25° 1' S", "S 25 01.2", "N25", "25 E 3 W")]
    ['-25.016667', '-25.02', '25', '']
    """
    marked = text.upper().replace("DEG", " ").translate(_ANGLE_MARKS).strip()
    sides = [side for side in (marked[:1], marked[-1:]) if side in tuple("NSEW")]
    parts = marked.strip("NSEW").split()
    if len(sides) > 1 or not 1 <= len(parts) <= 3 or not all(map(_NUMBER.fullmatch, parts)):
        return ""
    degrees, minutes, seconds = (*map(float, parts), 0.0, 0.0)[:3]
    if not (0.0 <= minutes < 60.0 and 0.0 <= seconds < 60.0):
        return ""
    sign = -1.0 if degrees < 0.0 or "S" in sides or "W" in sides else 1.0
    return f"{sign * (abs(degrees) + minutes / 60.0 + seconds / 3600.0):.8g}"
