"""Winds of a pack: the sounding comes back to the last bit, and nothing else is taken for one."""

import json
import math
from dataclasses import replace

import numpy as np
import pytest

from farglide.air.sounding import Gap, Sounding
from farglide.packfile.winds import sounding_of, winds_text


def test_a_sounding_comes_back_to_the_last_bit(demo_sounding: Sounding) -> None:
    odd = replace(demo_sounding, u_mps=demo_sounding.u_mps + 0.1, notes=("a “note”",))
    odd = replace(odd, windless_gph_m=(Gap(3000.5, 16_000.0),))
    back = sounding_of(winds_text(odd))
    assert np.array_equal(back.u_mps, odd.u_mps)
    assert np.array_equal(back.gph_m, odd.gph_m)
    assert (back.t_s, back.origin, back.notes) == (odd.t_s, odd.origin, odd.notes)
    assert back.windless_gph_m == odd.windless_gph_m
    assert math.isnan(back.run_t_s)


@pytest.mark.parametrize(
    ("key", "value"), [("lat_deg", "46"), ("t_s", True), ("notes", 1), ("levels", {})]
)
def test_a_value_of_another_kind_is_none(demo_sounding: Sounding, key: str, value: object) -> None:
    document = {**json.loads(winds_text(demo_sounding)), key: value}
    with pytest.raises((TypeError, KeyError)):
        sounding_of(json.dumps(document))


def test_a_list_is_no_sounding() -> None:
    with pytest.raises(TypeError, match="no table"):
        sounding_of("[]")
