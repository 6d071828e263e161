"""The printed plan of a payload: one HTML file, the landing and its map first."""

from importlib.resources import files
from typing import Final

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from farglide.outlook.payload import PayloadOutlook
from farglide.present.draw.faces import font_css
from farglide.present.draw.maps import landing_map
from farglide.present.markup import section
from farglide.present.say.ground import last_word
from farglide.present.say.payload import answer_sentences, sheet_parts
from farglide.present.say.text import FlightClock, place_text
from farglide.report.brief import FONTS
from farglide.report.paged import page_css
from farglide.sortie.words import permission_words

_FIRST: Final = 3
"""Parts beside the map on the first sheet; the others stand on the second."""


def render_box(outlook: PayloadOutlook) -> str:
    """Return the plan of a payload as one HTML file: no script, no network."""
    environment = Environment(
        loader=PackageLoader("farglide.report", "assets"), undefined=StrictUndefined,
        autoescape=True, trim_blocks=True, lstrip_blocks=True,
    )  # fmt: skip
    clock = FlightClock(launch_t_s=outlook.launch_t_s, zone=outlook.zone)
    css = (files("farglide.report") / "assets" / "brief.css").read_text(encoding="utf-8")
    verdict, *into = answer_sentences(outlook, clock)
    parts = [Markup(section(part)) for part in sheet_parts(outlook, clock) if part.is_printed]
    where = place_text(outlook.chart.lat_deg, outlook.chart.lon_deg)
    return environment.get_template("box.html.jinja").render(
        outlook=outlook,
        date=clock.date(),
        launch=f"{clock.launch()} at {outlook.launch_name}, {where}",
        missing=[permission_words(one) for one in outlook.missing],
        verdict=verdict,
        into=into,
        first=parts[:_FIRST],
        more=parts[_FIRST:],
        map=Markup(landing_map.landing_svg(outlook)),
        map_phone=Markup(landing_map.landing_svg(outlook, landing_map.PHONE_PX, "landing-phone")),
        map_note=landing_map.NOTE,
        last_word=last_word("crew"),
        css=Markup(page_css(outlook.name, clock) + css),
        fonts=Markup("".join(font_css(*font) for font in FONTS)),
    )
