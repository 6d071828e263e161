"""Noise: how far each story's speed may be off the law it is flown or falls by."""

from typing import Final

import numpy as np

from farglide.sim.fly.particles import Noise

NOISE: Final = Noise(
    #                   carried floating gliding hands-off spiral spin tangled ground dropping
    level_mps=np.array([1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 0.0, 1.0]),
    level_ratio=np.array([0.0, 0.0, 0.2, 0.0, 0.0, 0.0, 0.0, 0.0, 0.7]),
    up_mps=np.array([0.5, 0.3, 0.5, 0.5, 0.5, 0.5, 0.5, 0.0, 2.0]),
    up_ratio=np.array([0.0, 0.0, 0.2, 0.1, 0.1, 0.1, 0.1, 0.0, 0.2]),
    holds_s=np.array([300.0, 300.0, 60.0, 180.0, 180.0, 180.0, 180.0, 1.0, 40.0]),
)
"""In the order of the stories.

Level: what the wind of a layer is off beside the draw's error, 1 m/s over 180 s of a fall; of a
carried flight more by how far its winds are doubted, over 1.5 km of climb (`chances.storylaws`).
People at the stick keep a heading by eye within 12 degrees, a fifth of the airspeed, for about a
minute, and a speed within a tenth, a fifth of the sink: common practice, no source. Up: air that
rises and sinks by 0.5 m/s, and how far a sink wanders along a fall: 10 % for remains, as those of
`farglide.fall` did; of sondes under a parachute 2 % (``docs/fits.txt``), whose heights are told too
wide so. With half of it too few draws were left: remains of the plan's own law came inside the
circle of nine in ten 0.73 of the time instead of 0.9. Chosen among 0.05, 0.07 and 0.10, and held
against 14 real falls (``bench/replays/followed``): the same ones, no others are at hand.

Dropping: pulled out in any direction (a deviation of 0.7 of the speed along each axis), and held to
the law of the fall within a fifth of its sink: a guess, no source.
"""
