"""The printed review: one file, every word escaped, laid out without a label on another."""

from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path

from farglide.report.review import render_review

from ..present.sample_review import FAR, FEW, FLIGHT, NOTHING, REVIEW
from .boxes import measured


class Words(HTMLParser):
    """The words of a page, its styles left out."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.words, self._is_style = list[str](), False
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: object) -> None:
        self._is_style = tag == "style"

    def handle_endtag(self, tag: str) -> None:
        self._is_style = False

    def handle_data(self, data: str) -> None:
        if not self._is_style:
            self.words.append(data)


def test_the_page_holds_all_parts_and_no_script() -> None:
    page = render_review(REVIEW)
    text = " ".join(" ".join(Words(page).words).split())
    for words in (
        "100 g more neck lift raises the chance of Harrowend strip by 7 in 100",
        "What to believe next time",
        "0.926 ± 0.089",
        "How true the chances were",
        "Ranges told, and how it came",
        "What was promised, and what happened",
        "The winds, m/s against those told",
        "ride.log; marked",
        "Left out: other.log is no log of a ride.",
    ):
        assert words in text
    assert "<script" not in page
    assert "http" not in page.replace("http://www.w3.org/2000/svg", "")
    assert "/somewhere" not in page
    assert page == render_review(REVIEW)


def test_words_of_a_log_are_escaped() -> None:
    evil = replace(FLIGHT, name="<b>x</b>", notes=("<i>y</i>",), landed_at='"><script>')
    page = render_review(replace(REVIEW, flights=(evil,), notes=("<u>z</u>",)))
    for tag in ("<b>x</b>", "<i>y</i>", "<u>z</u>", "<script"):
        assert tag not in page


def test_a_flight_of_which_nothing_is_known_has_a_page() -> None:
    bare = replace(FLIGHT, promises=(), winds=(), choice=None, occurred=(), notes=())
    page = render_review(replace(NOTHING, flights=(bare, bare)))
    assert "Review: 2 flights" in page
    assert page.count('class="sheet flight"') == 2


def test_no_label_lies_on_another_and_nothing_leaves_the_screen(tmp_path: Path) -> None:
    """In a browser, with names as long as a crew may write them."""
    long = replace(FAR, what="end of pack of the second transmitter and its heated camera")
    flight = replace(FLIGHT, promises=(*FLIGHT.promises, long), name="A long day over the moor")
    rows = tuple(replace(FEW, told_ratio=x, came_ratio=y, low_ratio=0.0) for x, y in
                 ((0.0, 0.0), (0.5, 0.4), (0.9, 1.0), (1.0, 1.0)))  # fmt: skip
    review = replace(REVIEW, flights=(flight, flight), honesty=replace(REVIEW.honesty, rows=rows))
    pages = {name: render_review(one).replace('id="review"', 'id="card"')
             for name, one in (("one", REVIEW), ("long", review))}  # fmt: skip
    found = measured(pages, tmp_path)
    for key, view in found.items():
        assert (view["wide"], view["hidden"]) == ([], []), key
        assert view["pictures"], key
        for one in view["pictures"]:
            assert (one["clashes"], one["outside"]) == ([], []), (key, one["name"])
            assert one["px"] >= 11.9, (key, one["name"])
