"""The air of the demo, for the tests of rig."""

import pytest

from farglide.air.column import AirColumn
from farglide.air.sounding import Sounding
from farglide.rig.gear import column_of
from farglide.sortie.grain import Grain
from farglide.sortie.spec import Sortie


@pytest.fixture(scope="module")
def column(sortie: Sortie, demo_sounding: Sounding) -> AirColumn:
    return column_of(sortie, demo_sounding, Grain())
