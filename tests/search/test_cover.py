"""What grows: by barriers and words about fields, and its limits."""

import numpy as np
import pytest

from farglide.atlas.barriers import Barrier
from farglide.atlas.fields import Field
from farglide.atlas.outline import Outline
from farglide.errors import InputError
from farglide.search.cover import BUSH, CROP, FOREST, GRASS, USUAL, Cover, cover_named, covers_at


def square(lat: float, lon: float) -> Outline:
    return Outline(
        points=((lat, lon), (lat, lon + 0.01), (lat + 0.01, lon + 0.01), (lat + 0.01, lon))
    )


def test_sweep_widths_of_common_practice() -> None:
    widths = {one.name: one.sweep_m for one in USUAL}
    assert (widths[GRASS], widths[BUSH]) == (60.0, 30.0)
    assert 5.0 <= widths[CROP] <= 10.0


def test_barriers_and_fields_tell() -> None:
    fields = [
        Field(name=name, lat_deg=lat + 0.005, lon_deg=20.005, amsl_m=0.0, surface=words,
              outline=square(lat, 20.0))
        for name, lat, words in (
            ("A", 10.0, "mown strip"), ("B", 10.02, "tall maize"), ("C", 10.04, "concrete"),
        )
    ]  # fmt: skip
    barriers = [
        Barrier(name="Wood", kind="closed forest", outline=square(10.06, 20.0)),
        Barrier(name="Lake", kind="water", outline=square(10.08, 20.0)),
        Barrier(name="Noise", kind="no landing", outline=square(10.10, 20.0)),
    ]
    lat = np.array([10.005, 10.025, 10.045, 10.065, 10.085, 10.105, 10.2])
    index, covers = covers_at(lat, np.full(7, 20.005), barriers, fields, cover_named("bush"))
    assert [covers[k].name for k in index] == [GRASS, CROP, BUSH, FOREST, "water", BUSH, BUSH]
    assert [covers[k].is_walked for k in index] == [True] * 4 + [False] + [True] * 2


@pytest.mark.parametrize(("word", "name"), [("gr", GRASS), ("crop", CROP), ("standing", CROP)])
def test_a_beginning_is_enough(word: str, name: str) -> None:
    assert cover_named(word).name == name


def test_refusals() -> None:
    for word in ("", "water", "moss"):
        with pytest.raises(InputError, match=r"cover is .*; allowed: grass, bush, standing crop"):
            cover_named(word)
    with pytest.raises(InputError, match=r"sweep width in moss is 0 m; .* lost from sight"):
        Cover(name="moss", sweep_m=0.0, speed_mps=1.0)
    with pytest.raises(InputError, match="speed in moss is 9 m/s"):
        Cover(name="moss", sweep_m=1.0, speed_mps=9.0)
