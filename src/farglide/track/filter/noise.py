"""Noise: how far each story's speed may be off the law it is flown or falls by."""

from typing import Final

import numpy as np

from farglide.sim.fly.particles import Noise

NOISE: Final = Noise(
    #                   carried floating gliding hands-off spiral tangled ground
    level_mps=np.array([1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 0.0]),
    level_ratio=np.array([0.0, 0.0, 0.2, 0.0, 0.0, 0.0, 0.0]),
    up_mps=np.array([0.5, 0.3, 0.5, 0.5, 0.5, 0.5, 0.0]),
    up_ratio=np.array([0.0, 0.0, 0.2, 0.1, 0.1, 0.05, 0.0]),
    holds_s=np.array([180.0, 180.0, 60.0, 180.0, 180.0, 180.0, 1.0]),
)
"""In the order of the stories."""
