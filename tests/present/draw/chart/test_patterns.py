"""Patterns: the more, the darker; apart after conversion to grey and after a copier's loss."""

from itertools import pairwise

import numpy as np
import pytest
from PIL import Image

from farglide.errors import InputError
from farglide.present.draw.chart.ground import DARKEST
from farglide.present.draw.chart.patterns import NAMES, STEPS, pattern_ink, pattern_svg, tile_ink
from farglide.present.draw.chart.tokens import DAY, rgb


def share(name: str) -> float:
    """Return how much of the paper a pattern covers."""
    return float(pattern_ink(name, 480, 480, 4).mean()) / 255.0 if name else 0.0


def test_steps_have_more_and_more_ink() -> None:
    """By 8 % of the paper at least: a grey that is told from its neighbour at arm's length."""
    shares = [share(name) for name in STEPS]
    assert all(more - less >= 0.08 for less, more in pairwise(shares))
    assert shares == pytest.approx([0.0, 0.085, 0.2, 0.48], abs=0.03)


@pytest.mark.parametrize("paint", ["link", "open", "doubtful", "ink"])
def test_in_grey_the_steps_stay_apart_over_shaded_ground(paint: str) -> None:
    """Steps in any of their colours over white and over usual slopes, by Rec. 601 luma."""
    colour = Image.new("RGB", (1, 1), rgb(paint, DAY)).convert("L").getpixel((0, 0))
    assert isinstance(colour, int)
    greys = [255.0 - share(name) * (255.0 - colour) for name in STEPS]
    assert all(more - less >= 10.0 for less, more in pairwise(greys[::-1]))
    assert DARKEST <= 90  # no slope is darker than a third of black


def test_copied_to_black_and_white_they_are_still_there() -> None:
    """A copier that knows black and white alone: half of all ink, at 300 dots to the inch."""
    for name in STEPS[1:]:
        ink = pattern_ink(name, 300, 300, 3)
        black = float((ink > 127).mean())
        assert black == pytest.approx(share(name), rel=0.35)


@pytest.mark.parametrize("name", NAMES)
def test_tiles_join_without_a_seam(name: str) -> None:
    """Ink along the seam of two tiles is as dense as along the middle of one."""
    tile = tile_ink(name, 4)
    twice = np.tile(tile, (2, 2))
    assert np.array_equal(twice, pattern_ink(name, *twice.shape, 4))
    high, wide = tile.shape
    assert 0.0 < float(tile.mean()) < 200.0
    if name in ("dense", "lines"):
        seam = float(twice[:, wide - 1 : wide + 1].mean())
        middle = float(twice[:, wide // 2 - 1 : wide // 2 + 1].mean())
        assert seam == pytest.approx(middle, rel=0.05)
    assert high % 4 == 0


@pytest.mark.parametrize("name", NAMES)
def test_a_pattern_has_an_id_of_its_picture(name: str) -> None:
    svg = pattern_svg(name, "map-1", "barrier")
    assert svg.startswith(f'<pattern id="{name}-map-1" ')
    assert "-barrier" in svg


def test_another_pattern_is_refused() -> None:
    with pytest.raises(InputError, match="pattern is 'plaid'; allowed: one of dense, lines"):
        pattern_svg("plaid", "x", "ink")
