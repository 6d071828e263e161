"""What tests of gliders share."""

from typing import Final

from farglide.glider.polar import GlideAir
from farglide.glider.wing import Wing, polar_of

DEMO: Final = polar_of(Wing(0.68, 0.15, 0.17, 5.2, 0.78, 0.034, 200e3, 0.4, 0.85))


SEA_LEVEL: Final = GlideAir(1.225, 1.7894e-5, 1.0)
