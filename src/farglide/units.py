"""Units of the trade, to read and to show, never to compute with.

The numbers are exact by definition: foot and nautical mile by the international agreements of
1959 and 1929, hectopascal and Celsius by the SI brochure (9th edition, tables 4 and 8).
"""

from typing import Final

FOOT_M: Final = 0.3048
NAUTICAL_MILE_M: Final = 1852.0
KNOT_MPS: Final = NAUTICAL_MILE_M / 3600.0
CELSIUS_ZERO_K: Final = 273.15
HECTOPASCAL_PA: Final = 100.0
