"""The air of the demo over its launch, for what is sampled and marched in it."""

import pytest

from farglide.air.column import build_column
from farglide.air.doubt import WindDoubt
from farglide.air.sounding import Sounding
from farglide.sim.core.cube import no_cube
from farglide.sim.core.scene import Scene
from farglide.sim.core.step import frame_of


@pytest.fixture(scope="package")
def scene(demo_sounding: Sounding) -> Scene:
    column = build_column(demo_sounding, 0.0, WindDoubt())
    return Scene(column.layers, frame_of(-46.5, 108.0), no_cube())
