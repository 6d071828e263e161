"""The printed review: one HTML file, what to believe next time first, then each flight."""

from importlib.resources import files
from pathlib import PurePath

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from farglide.outlook.review import FlightReview, Review
from farglide.present.draw.faces import font_css
from farglide.present.draw.review.ranges import NOTE, PHONE, ranges_svg
from farglide.present.draw.review.truth import truth_svg
from farglide.present.markup import fact_html, section
from farglide.present.say.review.parts import (
    change_sentences,
    choice_sentences,
    ended_sentence,
    flight_clock,
    honesty_part,
    next_part,
    promises_part,
    winds_part,
)
from farglide.report.brief import FONTS
from farglide.report.paged import page_css


def render_review(review: Review) -> str:
    """Return a review as one HTML file: no script, no network, the same bytes for the same one."""
    environment = Environment(
        loader=PackageLoader("farglide.report", "assets"), undefined=StrictUndefined,
        autoescape=True, trim_blocks=True, lstrip_blocks=True,
    )  # fmt: skip
    css = (files("farglide.report") / "assets" / "brief.css").read_text(encoding="utf-8")
    newest = review.flights[-1]
    n = len(review.flights)
    return environment.get_template("review.html.jinja").render(
        title=newest.name if n == 1 else f"{n} flights",
        ended=ended_sentence(newest),
        change=list(change_sentences(review)),
        next=Markup(section(next_part(review), "next")),
        honest=Markup(section(honesty_part(review), "honest")),
        truth=Markup(truth_svg(review.honesty)),
        flights=[_flight(one, k) for k, one in enumerate(review.flights)],
        notes=review.notes,
        ranges_note=NOTE,
        css=Markup(page_css(f"Review: {newest.name}", flight_clock(newest)) + css),
        fonts=Markup("".join(font_css(*font) for font in FONTS)),
    )


def _flight(one: FlightReview, k: int) -> dict[str, object]:
    clock = flight_clock(one)
    parts = [promises_part(one), winds_part(one)]
    return {
        "key": f"flight-{k + 1}",
        "title": f"{one.name}, {clock.date()}",
        "ended": ended_sentence(one),
        "log": f"{PurePath(one.log).name}; {one.ended_why}",
        "choices": [Markup(fact_html(fact)) for fact in choice_sentences(one)],
        "ranges": Markup(ranges_svg(one)),
        "ranges_phone": Markup(ranges_svg(one, PHONE)),
        "parts": [Markup(section(part)) for part in parts if part.is_printed],
        "notes": one.notes,
    }
