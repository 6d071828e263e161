"""The air of the demo over its launch, for what is sampled and marched in it."""

import pytest

from farglide.air.column import Sounding, WindDoubt, build_column
from farglide.air.doubt import knots_of, n_knots
from farglide.sim.core.scene import Scene
from farglide.sim.core.step import frame_of
from farglide.sim.core.wind import no_errors


@pytest.fixture(scope="package")
def scene(demo_sounding: Sounding) -> Scene:
    column = build_column(demo_sounding, 0.0, WindDoubt())
    found = Scene(column.layers, knots_of(column, 3000.0), frame_of(-46.5, 108.0), 0.2)
    assert len(no_errors(found).up) == n_knots(column)
    return found
