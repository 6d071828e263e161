"""What a crew must not forget while it works: cautions short enough for the first sheet."""

from typing import Final

from farglide.outlook.outlook import Outlook
from farglide.present.part import Fact, Strong
from farglide.sortie.words import number_text

_DRIVER: Final = (Strong("The driver"), " neither reads nor hears any of this.")
_FALLING: Final = (Strong("Latex and line fall too:"), " off people, off power lines.")
_WATER: Final = (Strong("Water, gorges:"), " nobody enters. Agree when to be back.")
_PACKS: Final = (
    Strong("A lithium pack"),
    " dented, swollen, hot or wet: outdoors, away from people and the car. Do not charge it.",
)
_BOTTLE: Final = (
    Strong("The gas bottle"),
    " is tied upright to fill from it, and tied down on the road, valve shut, cap on.",
)
_GASES: Final = {
    "hydrogen": (Strong("Hydrogen burns:"), " outdoors, no sparks, filler earthed."),
    "helium": (Strong("Helium displaces air:"), " never fill in a closed room."),
}


def crew_facts(outlook: Outlook) -> list[Fact]:
    """Return the cautions of the day in the order of use; that of the gas is its own.

    Source: common practice, no source; local rules and licensed practice come first.
    """
    return [*gas_facts(outlook), _DRIVER, _FALLING, _WATER, _PACKS]


def gas_facts(outlook: Outlook) -> list[Fact]:
    """Return what the gas of this flight and its bottle ask for."""
    return [_GASES[outlook.fill.gas], _BOTTLE]


def stop_words(outlook: Outlook) -> str:
    """Return above which wind on the ground nobody fills."""
    limit = outlook.ground_wind_limit_mps
    words = number_text(limit, 1 if limit % 1.0 else 0)
    return f"Stop filling above {words} m/s of wind"
