"""The sheet of a comparison: one HTML file, the best launch first, readable in black and white."""

from importlib.resources import files

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from farglide.outlook.season import SeasonOutlook
from farglide.present.draw.faces import font_css
from farglide.present.markup import section
from farglide.present.say.ground import last_word
from farglide.present.say.season import compared_words, first_sentence, season_parts
from farglide.present.say.text import FlightClock
from farglide.report.brief import FONTS
from farglide.report.paged import page_css


def render_season(outlook: SeasonOutlook) -> str:
    """Return a comparison as one HTML file: no script, no network."""
    environment = Environment(
        loader=PackageLoader("farglide.report", "assets"), undefined=StrictUndefined,
        autoescape=True, trim_blocks=True, lstrip_blocks=True,
    )  # fmt: skip
    first_t_s = outlook.cells[0].launch_t_s if outlook.cells else 0.0
    clock = FlightClock(launch_t_s=first_t_s, zone=outlook.zone)
    css = (files("farglide.report") / "assets" / "brief.css").read_text(encoding="utf-8")
    parts = [Markup(section(part)) for part in season_parts(outlook) if part.is_printed]
    return environment.get_template("season.html.jinja").render(
        outlook=outlook,
        verdict=first_sentence(outlook),
        compared=compared_words(outlook),
        parts=parts,
        last_word=last_word("crew"),
        css=Markup(page_css(outlook.name, clock) + css),
        fonts=Markup("".join(font_css(*font) for font in FONTS)),
    )
