"""Answers of an invented glider on the other side of the equator, one a line."""

SWIFT = (
    "Alpine swift", "2027-03-14 10:20 America/Argentina/Salta", "day.csv",
    "Cuesta meadow", "25 01 12 S 65 30 W", "1210",
    "540", "92 cm", "16,5",
    "420", "50 m",
    "90 km/h",
    "800", "hydrogen",
    "1500 g", "",
    "2600 mAh 11.1 V", "6.5",
    "", "West pampa", "-25.10, -65.20", "1190", "",
    "2370", "800", "", "quarter wave", "", "helix 12", "-91",
    "868", "500", "", "dipole", "yagi 9", "-107 dBm",
    "", "",
    "held", "yes", "no", "", "a", "20", "1", "",
)  # fmt: skip
"""Some are left blank."""
