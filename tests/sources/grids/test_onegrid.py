"""One grid: which headers define the same points."""

from dataclasses import replace

import pytest

from farglide.errors import SourceError
from farglide.sources.grids.field import Field
from farglide.sources.grids.layout import EvenLayout, OtherLayout
from farglide.sources.grids.onegrid import is_same, one_grid

EVEN = EvenLayout(
    n_rows=3, n_columns=5, north_deg=50.0, south_deg=40.0, west_deg=180.0, lon_step_deg=5.0
)


def test_longitudes_of_two_conventions_and_rounded_steps_are_one() -> None:
    one = Field(layout=EVEN, path="a.grib")
    for changed in ({"west_deg": -180.0}, {"west_deg": 180.001}, {"lon_step_deg": 5.001}):
        assert is_same(one, Field(layout=replace(EVEN, **changed)))  # type: ignore[arg-type]
    for changed in ({"west_deg": 185.0}, {"n_rows": 4}, {"north_deg": 50.5}, {"lon_step_deg": 5.1}):
        assert not is_same(one, Field(layout=replace(EVEN, **changed)))  # type: ignore[arg-type]
    assert one_grid([one, one], None).lon_deg.tolist() == [-180.0, -175.0, -170.0, -165.0, -160.0]


def test_two_grids_and_none_are_refused() -> None:
    one = Field(layout=EVEN, path="a.grib")
    other = Field(layout=replace(EVEN, west_deg=0.0), path="b.grib", message=3)
    with pytest.raises(SourceError, match=r"b\.grib, message 4: is on another grid than message 1"):
        one_grid([one, other], None)
    with pytest.raises(SourceError, match="tells no grid"):
        one_grid([Field(layout=OtherLayout(name="x"), path="a.grib")], None)
