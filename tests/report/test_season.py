"""The sheet of a comparison: whole without network, its words escaped, its tables with heads."""

from dataclasses import replace

from tests.season.made import CELL, OUTLOOK

from farglide.report.season import render_season


def test_the_sheet_begins_with_the_best_launch() -> None:
    page = render_season(replace(OUTLOOK, name="Amber <evening>"))
    assert "<h1" in page
    assert "Launch Sat 23 Jan 17:26 from Home strip" in page
    assert "Amber &lt;evening&gt;" in page
    assert "<script" not in page
    assert "what limits it" in page
    assert "no line here clears one" in page


def test_a_sheet_without_any_launch_says_so() -> None:
    assert "No launch could be asked." in render_season(replace(OUTLOOK, cells=()))
    assert "36 m/s at 10 km" in render_season(replace(OUTLOOK, cells=(CELL,)))
