"""The step beside a general library: a row that says so where there is none, and the same falls."""

import numpy as np
import pytest
from bench.beside.filters import NAMED, filter_rows, fixes, fresh, laws, ours

from farglide.track.filter.particles import Story


@pytest.mark.parametrize("named", ["", "/nowhere/python"])
def test_without_the_library_a_row_says_so(named: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(NAMED, named)
    [row] = filter_rows()
    assert row[1] == "not measured"
    assert NAMED in row[2]


def test_ours_comes_to_where_the_fixes_are() -> None:
    told = fixes()
    found = ours(told[:10])
    high_m = told[9].amsl_m
    assert high_m is not None
    assert found.mean[2] == pytest.approx(high_m, abs=30.0)
    assert 3.0 < found.sd[2] < 10.0
    assert found.step_s > 0.0
    assert (fresh().cloud.story == Story.TANGLED.code).all()
    assert laws().n_draws == 300
    assert np.isfinite(found.spread).all()
