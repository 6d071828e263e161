"""Powered: what is heard has packs that last."""

from dataclasses import replace

import numpy as np
import pytest

from farglide.chances.after.powered import still_powered
from farglide.chances.case import Case


def test_what_is_heard_has_packs_that_last(demo_case: Case) -> None:
    drawn = demo_case.drawn
    n = len(drawn.draws.pack_end_s)
    ends_s = drawn.draws.pack_end_s + np.linspace(-600.0, 600.0, n)
    drawn = replace(drawn, draws=drawn.draws._replace(pack_end_s=ends_s))
    heard_s = float(np.quantile(ends_s, 0.4))
    found = still_powered(drawn, heard_s)
    own_s = found.draws.pack_end_s
    assert (own_s > heard_s).all()
    assert np.array_equal(own_s[ends_s > heard_s], ends_s[ends_s > heard_s])
    # all together follow the law of those that last: the same middle as theirs
    middle_s = float(np.median(ends_s[ends_s > heard_s]))
    assert np.median(own_s) == pytest.approx(middle_s, abs=0.1 * float(np.std(ends_s)))
    assert (found.reach.haste.end_s <= own_s).all()
    assert still_powered(drawn, 0.0) is drawn
    assert still_powered(drawn, 1e6) is drawn
