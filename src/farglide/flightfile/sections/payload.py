"""Payload section: a box under a parachute, in place of a glider."""

from collections.abc import Mapping
from typing import Final

from farglide.errors import Problem, is_number
from farglide.flightfile.entries import Entry, Section
from farglide.flightfile.reading import endings as unit
from farglide.flightfile.reading.keys import Quantity, choice
from farglide.flightfile.reading.reader import Reader
from farglide.glider.limits import WING_RANGES
from farglide.sortie.gear import PayloadSpec

_STAND_IN_KG: Final = 1.0
"""Where the payload's own mass is refused, so that it is told once."""
_ROWS: Final = (
    Quantity("mass", unit.MASS, WING_RANGES["mass_kg"], "the payload weighs"),
    Quantity("canopy", unit.LENGTH, (0.1, 5.0), "its parachute has a diameter of",
             settle="measure the open canopy from edge to edge"),
    choice("canopy_drag", unit.PURE, (0.2, 2.5),
           "the parachute's drag coefficient on its nominal area is", 0.8),
)  # fmt: skip


def payload_of(one: Entry) -> PayloadSpec | None:
    """Return a payload found without problems, None where the flight has a glider."""
    return one.spec(PayloadSpec) if one.given("mass_kg") else None


def with_its_mass(document: Mapping[str, object]) -> Mapping[str, object]:
    """Return a document of a payload with a glider of its mass, which is all that counts of one.

    >>> with_its_mass({"payload": {"mass_g": 900}})["glider"]
    {'mass_kg': 0.9}
    """
    payload = document.get("payload")
    if not isinstance(payload, Mapping) or "glider" in document:
        return document
    kilograms = [(payload.get(key), scale) for key, scale in (("mass_kg", 1.0), ("mass_g", 1e-3))]
    masses = [value * scale for value, scale in kilograms if is_number(value)]
    low, high = WING_RANGES["mass_kg"]
    fits = len(masses) == 1 and low <= masses[0] <= high
    return {**document, "glider": {"mass_kg": masses[0] if fits else _STAND_IN_KG}}


def payload_problems(document: Mapping[str, object]) -> list[Problem]:
    """Return that a document has a glider and a payload, or neither."""
    if "payload" in document and "glider" in document:
        what = "stands beside [glider]: only one of them hangs below the balloon."
        return [Problem("[payload]", what, "Take one of the two out.")]
    if document.get("payload") == {}:
        remedy = "Write its mass and its parachute below, or take the line out."
        return [Problem("[payload]", "is empty.", remedy)]
    if "payload" not in document and "glider" not in document:
        what = "is missing, and so is [payload]: nothing hangs below the balloon."
        remedy = "State the glider, or a payload with its parachute."
        return [Problem("[glider]", what, remedy)]
    return []


def _finish(reader: Reader, one: Entry) -> None:
    for key in ("mass_kg", "canopy_m") if reader.table else ():
        if not one.given(key):
            reader.refuse(key, "is missing.", "A payload has a mass and a parachute.")


PAYLOAD: Final = Section(
    name="payload",
    about="In place of ``[glider]``: a box that comes down under a parachute after the burst, and "
    "that nobody releases. What is asked of a glider, of fields and of the crew's release does not "
    "count then; see :doc:`payload`.",
    rows=_ROWS,
    finish=_finish,
)
