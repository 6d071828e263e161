"""The card on paper: one page of A4, whatever the plan has to say, as a browser prints it."""

import re
import shutil
import subprocess
from dataclasses import replace
from pathlib import Path
from types import ModuleType

import pytest

from farglide.outlook.outlook import Outlook
from farglide.report.brief import render_brief

BROWSER = shutil.which("chromium")
QUIET = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
    "--no-pdf-header-footer",
)  # fmt: skip
PLANS = ("sample", "hostile", "not_cleared", "no_release", "with_links", "seven", "worst")


def _seven(outlook: Outlook) -> Outlook:
    more = tuple(replace(outlook.fields[1], name=f"Upper Meadow {n}") for n in (5, 6, 7))
    left = tuple(replace(outlook.seconds_left[0], field=field.name) for field in more)
    return replace(
        outlook,
        fields=(*outlook.fields, *more),
        seconds_left=(*outlook.seconds_left, *left),
    )


def _plan(samples: ModuleType, name: str) -> Outlook:
    """Return a sample; the worst has seven fields, three permissions missing and no release."""
    if name == "seven":
        return _seven(samples.sample())
    if name == "worst":
        plan = _seven(samples.no_release())
        return replace(plan, cleared=False, missing=("airspace", "aircraft", "land"))
    found = getattr(samples, name)()
    assert isinstance(found, Outlook)
    return found


@pytest.mark.skipif(BROWSER is None, reason="no browser to print with")
@pytest.mark.parametrize("name", PLANS)
def test_the_card_is_one_page(samples: ModuleType, tmp_path: Path, name: str) -> None:
    page = render_brief(_plan(samples, name))
    card = page[: page.index('<article class="sheet" id="tables">')] + "</main></body></html>"
    (tmp_path / "card.html").write_text(card, encoding="utf-8")
    profile, pdf = f"--user-data-dir={tmp_path / 'profile'}", tmp_path / "card.pdf"
    command = [
        str(BROWSER),
        *QUIET,
        profile,
        f"--print-to-pdf={pdf}",
        f"file://{tmp_path}/card.html",
    ]
    subprocess.run(command, check=True, capture_output=True, timeout=300)
    assert len(re.findall(rb"/Type */Page\b", pdf.read_bytes())) == 1
