"""The printed review: one file, every word escaped, laid out without a label on another."""

from dataclasses import replace
from html.parser import HTMLParser

from farglide.report.review import render_review

from ..present.sample_review import FLIGHT, NOTHING, REVIEW


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
