"""Regain: posts to listen from, and when links are heard there."""

from dataclasses import replace

import numpy as np

from farglide.chances.falls import TANGLED
from farglide.flightfile.flightfile import FlightFile
from farglide.outlook.links import LinksOutlook
from farglide.plan.planned import Planned
from farglide.plan.weak.regain import barriers_between, heard_along, posts_of, spans_above

CIRCLE, SPIRAL = "glider, hands off", "glider in a firm spiral"
NEAR = ("Harrowend strip", "Wether Knap", "Stile Gap")


def test_posts_are_stands_and_the_fields_that_are_none(demo_flight: FlightFile) -> None:
    sortie = demo_flight.sortie
    posts = posts_of(sortie)
    assert [post.name for post in posts] == [*NEAR, "Tansy Lea", "Brackmoor", "Corrand strip"]
    assert {post.mast_m for post in posts} == {3.0}
    bare = posts_of(replace(sortie, stands=()))
    assert {post.mast_m for post in bare} == {2.0}
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


def test_the_wood_lies_between_some_posts(demo_flight: FlightFile) -> None:
    """It lies round 22 km east and 20 km south of home, beyond the ridge."""
    sortie = demo_flight.sortie
    home, knap, gap = sortie.stands
    at = {post.name: post for post in posts_of(sortie)}
    assert barriers_between(sortie, knap, at["Brackmoor"]) == ("Gollan Wood",)
    assert barriers_between(sortie, at["Brackmoor"], knap) == ("Gollan Wood",)
    assert barriers_between(sortie, home, gap) == ()
    assert barriers_between(sortie, knap, replace(knap, lat_deg=knap.lat_deg + 0.005)) == ()


def test_margins_along_what_nobody_steers(asked: tuple[Planned, LinksOutlook]) -> None:
    release, _ = asked
    found = heard_along(release.case, release.moment)
    assert {CIRCLE, SPIRAL, TANGLED} <= {one.story for one in found}
    n_posts, n_links = len(posts_of(release.case.sortie)), len(release.case.sortie.links)
    for one in found:
        assert one.plain_db.shape == (n_posts, n_links, len(one.plain_s))
        assert one.drawn_db.shape[1:] == (n_posts, n_links, len(one.drawn_s))
        assert (np.diff(one.plain_s) > 0.0).all()
        assert one.plain_s[0] >= release.after_launch_s
    case = replace(release.case, plain=replace(release.case.plain, listening=None))
    assert heard_along(case, release.moment) == ()
