"""The page as it is printed: a head on every sheet; and its colours, which must be told apart."""

import re
import subprocess
from importlib.resources import files
from pathlib import Path
from shutil import which
from types import ModuleType

import pytest

from farglide.report.brief import render_brief
from farglide.report.paged import css_text

from .boxes import BROWSER, QUIET

Tokens = dict[str, str]


def _tokens() -> list[Tokens]:
    """Return the colours of paper, of a screen by day and of one at night."""
    css = (files("farglide.report") / "assets" / "brief.css").read_text(encoding="utf-8")
    found, known = [], Tokens()
    for block in re.findall(r":root\{([^}]*--paper[^}]*|[^}]*--open[^}]*)\}", css):
        known = known | dict(re.findall(r"--([a-z0-9-]+):(#[0-9a-f]{3,6})", block))
        found.append(known)
    return found


def _luminance(colour: str) -> float:
    """Return the relative luminance of a colour.

    Source: WCAG 2.2, "relative luminance".
    """
    digits = colour[1:] if len(colour) == 7 else "".join(2 * one for one in colour[1:])
    parts = [int(digits[k : k + 2], 16) / 255.0 for k in (0, 2, 4)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return sum(share * c for share, c in zip((0.2126, 0.7152, 0.0722), linear, strict=True))


def contrast(one: str, other: str) -> float:
    """Return the contrast ratio. Source: WCAG 2.2, "contrast ratio"."""
    low, high = sorted((_luminance(one), _luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_contrast_as_the_guideline_counts_it() -> None:
    assert contrast("#fff", "#000") == pytest.approx(21.0)
    assert contrast("#777", "#fff") == pytest.approx(4.48, abs=0.01)


def test_lines_of_the_burst_are_read_on_paper_and_on_solid() -> None:
    schemes = _tokens()
    assert len(schemes) == 3
    for tokens in schemes:
        on_paper = contrast(tokens["burst"], tokens["paper"])
        on_solid = contrast(tokens["paper"], tokens["open"])  # there the lines are paper
        assert min(on_paper, on_solid) >= 3.0
        assert contrast(tokens["ink"], tokens["paper"]) >= 7.0
        for data in ("open", "doubtful", "link", "guess"):
            assert contrast(tokens[data], tokens["paper"]) >= 3.0


def test_one_colour_has_one_meaning_by_day() -> None:
    day = _tokens()[1]
    colours = [day[name] for name in ("ink", "open", "doubtful", "burst", "link", "paper")]
    assert len(set(colours)) == len(colours)


def _printed(page: str, folder: Path) -> list[str]:
    """Return the words of each printed sheet."""
    if BROWSER is None or which("pdftotext") is None:
        pytest.skip("nothing to print with")
    (folder / "brief.html").write_text(page, encoding="utf-8")
    profile, pdf = f"--user-data-dir={folder / 'profile'}", folder / "brief.pdf"
    command = [BROWSER, *QUIET, profile, f"--print-to-pdf={pdf}", f"file://{folder}/brief.html"]
    subprocess.run(command, check=True, capture_output=True, timeout=300)
    text = ["pdftotext", "-layout", str(pdf), "-"]
    said = subprocess.run(text, check=True, capture_output=True, timeout=60).stdout.decode()
    return said.split("\f")[:-1]


def test_every_sheet_has_the_flight_and_its_number_at_its_head(
    samples: ModuleType, tmp_path: Path
) -> None:
    sheets = _printed(render_brief(samples.with_links()), tmp_path)
    assert len(sheets) >= 5
    for n, sheet in enumerate(sheets, start=1):
        head = sheet.lstrip("\n").splitlines()[0]
        assert "Amber evening, Saturday 23 January 2027, launch 16:40" in head
        assert head.rstrip().endswith(f"{n} of {len(sheets)}")
    jobs = ("Fill and launch", "Aim, hold and release", "When it goes wrong", "taken for granted")
    starts = [next(n for n, sheet in enumerate(sheets) if job in sheet) for job in jobs]
    # filling and trouble begin a sheet of their own, the rest goes on, so that sheets are full
    assert starts == sorted(starts)
    assert starts[0] == 1
    trouble = [line.strip() for line in sheets[starts[2]].splitlines() if line.strip()]
    assert trouble[1] == "When it goes wrong"  # below the head of the page
    lines = [len([line for line in sheet.splitlines() if line.strip()]) for sheet in sheets[:-1]]
    assert min(lines) > 25


def test_a_hostile_name_stays_inside_its_string_of_style(samples: ModuleType) -> None:
    assert css_text("a\\b\n") == '"a\\5c b\\a "'
    page = render_brief(samples.hostile())
    rule = page[page.index("@page{") : page.index("}", page.index("@page{")) + 1]
    assert "<" not in rule
    assert "script" in rule
