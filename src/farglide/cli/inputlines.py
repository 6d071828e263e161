"""Input lines: the numbers of a flight file as sentences, and where each stands in the file."""

from typing import Final

from farglide.flightfile.flightfile import EVERY, InputLine
from farglide.flightfile.reading.endings import unit_text
from farglide.sortie.words import duration_words, number_text

GLIDER: Final = "glider"
PAYLOAD: Final = "payload"
_MINUTES_FROM_S: Final = 120.0
_SWITCH_ON: Final = "on_after_launch_s"


def input_sentence(line: InputLine, aboard: str = GLIDER) -> str:
    """Return one number as a sentence: 'The balloon weighs 1 kg, measured.'

    `aboard`: what flies, a glider or a payload.
    """
    row, number = line.row, line.number
    if row.key == _SWITCH_ON:
        return f"It is switched on {_from_launch(number.value)}."
    doubt = f" ± {_amount(number.sd, row.unit)}" if number.sd else ""
    origin = "" if row.choice else f", {'fitted' if number.fitted else number.tag.value}"
    says = (row.says[0].upper() + row.says[1:]).replace(GLIDER, aboard)
    return f"{says} {_amount(number.value, row.unit)}{doubt}{origin}."


def key_place(line: InputLine) -> str:
    """Return a key and its section as they are written in the file."""
    name, _, part = line.section.removesuffix("]").partition("[")
    if not part:
        return f"{line.row.key} in [{name}]"
    is_named = any(one.name == name and "name" in one.texts for one in EVERY)
    which = f'name = "{part}"' if is_named else f"number {part}"
    return f"{line.row.key} in [[{name}]], {which}"


def _from_launch(after_s: float) -> str:
    """Return when something is, before or after the launch.

    >>> _from_launch(-900.0), _from_launch(0.0), _from_launch(3600.0)
    ('15 min before the launch', 'at the launch', '1 h after the launch')
    """
    if abs(after_s) < 0.5:
        return "at the launch"
    return f"{duration_words(abs(after_s))} {'before' if after_s < 0.0 else 'after'} the launch"


def _amount(value: float, unit: str) -> str:
    """Return a number with its unit; a time in minutes and hours where it is some, to the second.

    >>> [_amount(s, "s") for s in (10.0, 119.5, 240.0, 150.0, 2280.0)]
    ['10 s', '119.5 s', '4 min', '2 min 30 s', '38 min']
    >>> _amount(869.5e6, "hz"), _amount(1.0, "kg")
    ('869.5 MHz', '1 kg')
    """
    if unit == "s" and value >= _MINUTES_FROM_S:
        minutes_s = value - value % 60.0
        rest = f" {_digits(value % 60.0, unit)} s" if value % 60.0 else ""
        return duration_words(minutes_s) + rest
    return _digits(value, unit) + (" MHz" if unit == "hz" else unit_text(unit))


def _digits(value: float, unit: str) -> str:
    r"""Return a number in the digits that matter.

    >>> _digits(-46.60611234, "deg"), _digits(200000.0, ""), _digits(0.0785398, "")
    ('-46.60611', '200\u2009000', '0.07854')
    """
    if unit == "hz":  # shown in megahertz
        return f"{value / 1e6:.8g}"
    if unit == "deg":
        return f"{round(value, 5):.8g}"
    return f"{value:.4g}" if abs(value) < 1000.0 else number_text(value)
