"""Antenna laws: what the laws of antennas say of a link as stated, before a flight is planned."""

import math
from collections.abc import Iterator

from farglide.errors import ContradictionError, InputError, Problem
from farglide.radio.antenna.pattern import peak_dbi
from farglide.rig.antennas import FAR_OFF_DB, own_pattern
from farglide.rig.links import gear_of
from farglide.sortie.antennas import MEASURED, EndSpec
from farglide.sortie.spec import LinkSpec


def refusals(where: str, spec: LinkSpec) -> Iterator[Problem]:
    """Yield what the laws refuse of a link; a measured pattern is not read yet."""
    for end, one in (("sender", spec.sender_end), ("receiver", spec.receiver_end)):
        try:
            asked = far_off(one, spec.frequency_hz)
        except (InputError, ContradictionError) as error:
            yield Problem(f"{where} {end}_antenna", f"is {one.noun}: {error}")
            return
        if asked:
            yield Problem(f"{where} {end}_gain_dbi", asked, "Which of them is right?")
            return
    if MEASURED in (spec.sender_end.antenna, spec.receiver_end.antenna):
        return
    try:
        gear_of(spec)
    except (InputError, ContradictionError) as error:
        yield Problem(where, f"{error}")


def far_off(end: EndSpec, frequency_hz: float) -> str:
    """Return by how much a stated gain stands off the antenna's own, empty where it fits."""
    own_dbi = formula_gain_dbi(end, frequency_hz)
    if end.gain_dbi is None or math.isnan(own_dbi) or abs(end.gain_dbi - own_dbi) <= FAR_OFF_DB:
        return ""
    whence = "its file" if end.antenna == MEASURED else f"the formula of this {end.noun}"
    return f"is {end.gain_dbi:g} dBi, but {whence} gives {own_dbi:.1f} dBi."


def formula_gain_dbi(end: EndSpec, frequency_hz: float) -> float:
    """Return the peak gain that an antenna has by its measures or its file; NaN where neither says.

    An antenna whose gain is one of its measures, as a collinear, has that one.
    """
    if not end.has_pattern or (end.antenna == MEASURED and not end.planes):
        return math.nan
    return peak_dbi(own_pattern(end, frequency_hz))
