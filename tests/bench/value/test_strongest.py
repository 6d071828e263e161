"""Strongest winds: those told, those that came, and those of the draws between."""

from bench.value.places import pairs
from bench.value.strongest import strongest, strongest_rows


def test_the_middle_draw_is_never_slower_than_half_of_what_is_told() -> None:
    some = pairs()[:3]
    for pair in some:
        one = strongest(pair)
        assert one.told_mps > 5.0
        assert 0.5 * one.told_mps < one.drawn_mps < 2.0 * one.told_mps
        assert 0.0 <= one.below_ratio <= 1.0
    rows = strongest_rows(some)
    assert rows[0].startswith("The fastest wind below 16 km, mean over places: told ")
