"""Heat keys: what a flight file may state of cells in a box and of a transmitter's own heat.

Stand-ins are put in only where a box or a case is stated at all.
"""

from typing import Final

from farglide.flightfile.reading.endings import (
    AREA,
    CELSIUS,
    CONDUCTANCE,
    MASS,
    POWER,
    RATIO,
    SPECIFIC_HEAT,
)
from farglide.flightfile.reading.keys import quantity, shares
from farglide.sortie.spec import Tag

_RESISTOR: Final = "close the box round a resistor of 1 W and wait: watts over kelvins"

BOX: Final = (
    quantity("ageing", RATIO, (0.1, 1.0), "of that, age has left a share of"),
    quantity("cells", MASS, (0.005, 10.0), "its cells, in a box, weigh"),
    quantity(
        "cells_heat",
        SPECIFIC_HEAT,
        (300.0, 3000.0),
        "the specific heat of its cells is",
        tag=Tag.TYPICAL,
    ),
    quantity(
        "insulation",
        CONDUCTANCE,
        (0.001, 10.0),
        "the walls of its box let through",
        doubt=shares(0.1, 0.2, 0.4),
        settle=_RESISTOR,
    ),
    quantity(
        "own_heat",
        RATIO,
        (0.0, 1.0),
        "of the load, the share that stays in the box as heat is",
        settle="feel what grows warm in the box, and add up its watts",
    ),
    quantity("start", CELSIUS, (-40.0, 60.0), "at the switch-on its cells have"),
)

CASE: Final = (
    quantity("heat", POWER, (0.0, 300.0), "the transmitter turns into heat"),
    quantity("efficiency", RATIO, (0.01, 0.95), "or of what it draws, the share it sends is"),
    quantity("case_area", AREA, (1e-5, 0.5), "the outer area of its case is"),
    quantity("case", MASS, (5e-4, 5.0), "transmitter and case weigh"),
    quantity(
        "case_heat",
        SPECIFIC_HEAT,
        (300.0, 3000.0),
        "the specific heat of the case is",
        tag=Tag.TYPICAL,
    ),
    quantity(
        "case_flow",
        RATIO,
        (0.0, 1.0),
        "over the case passes, of the airspeed, a share of",
        settle="a vane or a drop of water beside it, at the window of a car",
    ),
    quantity(
        "case_emissivity",
        RATIO,
        (0.02, 1.0),
        "of what black would radiate, the case radiates a share of",
        tag=Tag.TYPICAL,
    ),
    quantity("case_sun", POWER, (0.0, 50.0), "while the sun is up, the case takes up"),
    quantity("limit", CELSIUS, (30.0, 200.0), "it is trusted up to"),
)
