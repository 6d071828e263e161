"""Pages as a browser lays them out: boxes of labels, sizes of type, what leaves its frame."""

import html
import json
import re
import shutil
import subprocess
from collections.abc import Mapping
from pathlib import Path
from typing import Any, Final

import pytest

BROWSER: Final = shutil.which("chromium")
QUIET: Final = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
    "--no-pdf-header-footer", "--hide-scrollbars",
)  # fmt: skip
VIEWS: Final = {"phone": 390, "laptop": 1200, "paper": 737}
"""Widths in px; paper is A4 without its margins, laid out by the rules for print."""

Found = dict[str, Any]
"""One page in one view: texts, clashes, crossed, outside, wide, fonts and sizes, as below."""

_SCRIPT: Final = (Path(__file__).parent / "boxes.js").read_text(encoding="utf-8")


def measured(pages: Mapping[str, str], folder: Path) -> dict[tuple[str, str], Found]:
    """Return what a browser makes of each page in each view."""
    if BROWSER is None:
        pytest.skip("no browser to measure with")
    frames = [
        f'<iframe data-key="{name}/{view}" style="width:{width}px;height:1400px;border:0" '
        f'srcdoc="{html.escape(_for_view(page, view))}"></iframe>'
        for name, page in pages.items()
        for view, width in VIEWS.items()
    ]
    body = f"<body>{''.join(frames)}<pre></pre><script>{_SCRIPT}</script>"
    whole = f"<!doctype html><meta charset=utf-8>{body}"
    (folder / "measure.html").write_text(whole, encoding="utf-8")
    profile = f"--user-data-dir={folder / 'measure-profile'}"
    command = [
        BROWSER, *QUIET, profile, "--virtual-time-budget=60000", "--dump-dom",
        f"file://{folder}/measure.html",
    ]  # fmt: skip
    dom = subprocess.run(command, check=True, capture_output=True, timeout=600).stdout.decode()
    told = re.search(r"<pre>(\{.*?\})</pre>", dom, flags=re.S)
    assert told, "the browser measured nothing"
    found = json.loads(html.unescape(told.group(1)))
    assert len(found) == len(frames)
    return {tuple(key.split("/")): value for key, value in found.items()}


def _for_view(page: str, view: str) -> str:
    """Return a page as it is for screens; for paper with the rules of print in force."""
    if view != "paper":
        return page
    page = page.replace("@media screen", "@media not all")
    return page.replace("@media print", "@media all")
