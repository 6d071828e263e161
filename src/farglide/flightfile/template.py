"""The flight file that a new flight begins with."""

from importlib.resources import files
from typing import Final

from farglide.flightfile.asked.dialogue import Dialogue
from farglide.flightfile.asked.written import flight_text

_STAND_INS: Final = (
    "First flight", "2027-06-15 09:30 +07:00", "",
    "Launch meadow", "-46.5, 108.0", "240",
    "680 g", "0.88 m", "17 cm", "520 m", "60 m", "90 km/h",
    "1000 g", "helium", "1700 g", "140 g",
    "2600 mAh 10 V", "7 W",
    "yes", "Far meadow", "-46.7, 108.3", "265", "",
    "2370", "800 mW", "analogue", "dipole", "patch 12", "-91",
    "869.5", "500 mW", "digital", "dipole", "yagi 9", "-107",
    "Round hill", "-46.6, 108.2", "470", "3", "40 min",
    *("missing",) * 5,
    "", "",
)  # fmt: skip
"""Answers to the questions, in open ocean so that nobody takes them for his own."""


def template_text() -> str:
    """Return a flight file to fill in: what `--ask` asks first, every other key folded below."""
    dialogue = Dialogue()
    for said in _STAND_INS:
        dialogue.answer(said)
    every = files("farglide.flightfile") / "assets" / "every-key.toml"
    return flight_text(dialogue.document, "yours") + "\n" + every.read_text(encoding="utf-8")
