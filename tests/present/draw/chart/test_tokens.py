"""Tokens: the same as those of the printed sheets, greys on paper, readable on it."""

import re
from importlib.resources import files

import pytest

from farglide.errors import InputError
from farglide.present.draw.chart.tokens import DAY, PRINT, grey, rgb, style_css

CSS = (files("farglide.report") / "assets" / "brief.css").read_text(encoding="utf-8")


def declared(block: str) -> dict[str, str]:
    """Return the colours of a rule, three figures written out."""
    found = re.findall(r"--([a-z0-9-]+):#([0-9a-f]{3,6})\b", block)
    return {k: "#" + (v if len(v) == 6 else "".join(c + c for c in v)) for k, v in found}


def test_pictures_that_stand_alone_have_the_colours_of_the_sheets() -> None:
    paper = declared(CSS[: CSS.index("@media screen")])
    paper |= declared(re.findall(r"^:root\{--barrier[^}]*\}", CSS, re.M)[0])
    assert paper == dict(PRINT)
    screens = re.findall(r"@media screen\{:root\{.*?\}\}", CSS)
    day: dict[str, str] = {}
    for one in screens:
        day |= declared(one)
    assert {**PRINT, **day} == dict(DAY)


def test_on_paper_all_are_greys() -> None:
    for name in PRINT:
        red, green, blue = rgb(name)
        assert red == green == blue == grey(name)


def luminance(code: tuple[int, int, int]) -> float:
    """WCAG 2.2, relative luminance."""
    shares = [c / 255.0 for c in code]
    linear = [s / 12.92 if s <= 0.04045 else ((s + 0.055) / 1.055) ** 2.4 for s in shares]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@pytest.mark.parametrize("name", [one for one in DAY if one != "paper"])
def test_every_ink_stands_out_from_paper(name: str) -> None:
    """4.5 to 1, what WCAG 2.2, 1.4.3 asks of text."""
    assert 1.05 / (luminance(rgb(name, DAY)) + 0.05) >= 4.5


def test_another_name_is_refused() -> None:
    with pytest.raises(InputError, match="paint is 'lime'; allowed: one of paper, ink"):
        rgb("lime")


def test_the_rules_name_every_token() -> None:
    css = style_css()
    for name, code in DAY.items():
        assert f".f-{name}{{fill:{code}}}" in css
        assert f".s-{name}{{fill:none;stroke:{code}}}" in css
