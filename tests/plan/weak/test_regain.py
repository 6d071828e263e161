"""Regain: posts to listen from, and when links are heard there."""

from dataclasses import replace

import numpy as np

from farglide.flightfile.flightfile import FlightFile
from farglide.plan.weak.regain import posts_of, spans_above

NEAR = ("Harrowend strip", "Wether Knap", "Stile Gap")


def test_posts_are_stands_and_the_fields_that_are_none(demo_flight: FlightFile) -> None:
    sortie = demo_flight.sortie
    posts = posts_of(sortie)
    assert [post.stand.name for post in posts] == [*NEAR, "Tansy Lea", "Brackmoor", "Corrand strip"]
    assert {post.stand.mast_m for post in posts} == {3.0}
    bare = posts_of(replace(sortie, stands=()))
    assert {post.stand.mast_m for post in bare} == {2.0}
    assert len(bare) == len(sortie.fields)


def test_spans_are_cut_where_the_margin_is_nought() -> None:
    clock = np.arange(6.0)
    nan = np.nan
    assert spans_above(clock, np.array([1.0, -1.0, -1.0, 1.0, 1.0, nan])) == (
        (0.0, 0.5), (2.5, 4.0),
    )  # fmt: skip
    assert spans_above(clock, np.full(6, nan)) == ()
    assert spans_above(clock, np.full(6, -0.1)) == ()
    assert spans_above(clock, np.zeros(6)) == ((0.0, 5.0),)
    rng = np.random.default_rng(5)
    for _ in range(100):
        margins = rng.normal(size=6)
        spans = spans_above(clock, margins)
        inside = [any(a <= t <= b for a, b in spans) for t in clock]
        assert inside == list(margins >= 0.0)
