"""Part keys: the numbers of single parts, and the lists of what links and triggers need."""

from typing import Final

from farglide.flightfile.reading.endings import RATIO, TIME
from farglide.flightfile.reading.keys import Quantity, quantity

TRIGGER: Final[tuple[Quantity, ...]] = ()
TRIGGER_COUNTS: Final = ("n_tests", "n_failures")

PART: Final = (
    quantity(
        "fails_in_3h",
        RATIO,
        (0.0, 1.0),
        "the odds that it fails within three hours are",
        settle="your own record: failures over flights and rehearsals of three hours",
    ),
    quantity(
        "swap",
        TIME,
        (0.0, 7200.0),
        "to put a spare in its place takes",
        settle="a swap drill with a watch",
    ),
)
