"""What tests of several rooms share: the demo flight, documents to change, the slow twin."""

import copy
import importlib.util
import json
import math
import re
import shutil
import subprocess
import sys
import tomllib
from collections.abc import Callable
from dataclasses import replace
from importlib.resources import files
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

from farglide.air.sounding import Sounding
from farglide.chances.ensemble import Ensemble
from farglide.earth.state import wrapped_lon_deg
from farglide.errors import FlightFileError
from farglide.flightfile.flightfile import FlightFile, read_flight_file
from farglide.outlook.outlook import Outlook
from farglide.plan.plan import plan
from farglide.report.brief import render_brief
from farglide.rig import airdoubts
from farglide.rig.airdoubts import between_passages_s
from farglide.sortie.gear import BoxSpec, PackSpec
from farglide.sortie.grain import Grain
from farglide.sortie.known import Known, Tag
from farglide.sortie.pack import Pack
from farglide.sortie.spec import Sortie
from farglide.sources.winds import read_winds

from .reading import answer_lines

ASSETS = Path(str(files("farglide.flightfile") / "assets"))

_BROWSER = shutil.which("chromium")
_QUIET = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
    "--no-pdf-header-footer",
)  # fmt: skip

Document = dict[str, Any]
Planned = Callable[[Sortie], Outlook]

DEMO = ASSETS / "amber-evening.toml"

BOX = BoxSpec(
    cells_kg=0.12,
    specific_heat_jpkgk=1000.0,
    insulation_wpk=Known(value=0.03),
    own_heat_ratio=0.1,
    start_k=293.15,
    table=((243.15, 0.45), (253.15, 0.6), (273.15, 0.85), (293.15, 1.0)),
    table_spread_ratio=0.0,
)
"""120 J/K behind 0.03 W/K: the cells follow the air in 4000 s."""


LEAST = """
[flight]
launch_at = 2027-01-23T09:40:00Z
[launch]
lat_deg = -46.5
lon_deg = 108.0
{launch}
[balloon]
mass_g = 1000
gas = "helium"
{balloon}
[glider]
mass_g = 680
{glider}
"""


@pytest.fixture(scope="session")
def plain() -> ModuleType:
    """Return plain.py: the laws of the climb written out slowly."""
    spec = importlib.util.spec_from_file_location("plain", Path(__file__).parent / "plain.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules.setdefault("plain", module)
    spec.loader.exec_module(module)
    return module


def compared(flight: FlightFile) -> FlightFile:
    """Return the demo with the balloon and climb of docs/why/0004-compared, computed elsewhere too.

    One drag coefficient for the whole climb, one error for the whole climb, no early bursts.
    """
    balloon = replace(
        flight.sortie.balloon,
        neck_lift_kg=Known(value=1.6),
        burst_diameter_m=Known(value=6.6, sd=0.06 * 6.6, tag=Tag.TYPICAL),
        drag_table=((1e4, 0.30), (1e7, 0.30)),
        drag_factor=Known(value=1.0, tag=Tag.TYPICAL),
        early_burst_ratio=Known(value=0.0),
    )
    doubt = replace(flight.sortie.doubt, ascent_ratio=0.05, ascent_band_ratio=0.0)
    sortie = replace(flight.sortie, balloon=balloon, doubt=doubt)
    return replace(flight, sortie=sortie, drag_given=True)


@pytest.fixture(scope="session")
def demo_flight() -> FlightFile:
    """Return the demo flight, its balloon and climb as in the figures computed elsewhere."""
    return compared(read_flight_file(ASSETS / "amber-evening.toml"))


@pytest.fixture(scope="session")
def demo_sounding(demo_flight: FlightFile) -> Sounding:
    """Return the winds of the demo flight."""
    return read_winds(ASSETS / "amber-evening-winds.csv", None, demo_flight.sortie.launch.t_s)


@pytest.fixture(scope="session")
def authorities() -> Path:
    """Return the folder of files that others wrote."""
    return Path(__file__).parent / "authorities"


def as_toml(document: dict[str, Any]) -> str:
    """Write a flight document: plain keys, sections, lists of sections."""
    lines: list[str] = []
    for section, table in document.items():
        if isinstance(table, list) and table and all(isinstance(row, dict) for row in table):
            for row in table:
                lines += [f"[[{section}]]", *_keys(row)]
        elif isinstance(table, dict):
            lines += [f"[{section}]", *_keys(table)]
        else:
            lines.insert(0, f"{_text(section)} = {_text(table)}")
    return "\n".join(lines) + "\n"


def _keys(table: dict[str, Any]) -> list[str]:
    return [f"{_text(k)} = {_text(v)}" for k, v in table.items()]


def _text(value: Any) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        escaped = "".join(
            c if c.isascii() and c.isprintable() and c not in '"\\' else f"\\U{ord(c):08x}"
            for c in value
        )
        return f'"{escaped}"'
    if isinstance(value, list):
        return "[" + ", ".join(_text(item) for item in value) + "]"
    if isinstance(value, dict):
        return "{" + ", ".join(f"{_text(k)} = {_text(v)}" for k, v in value.items()) + "}"
    return value.isoformat() if hasattr(value, "isoformat") else repr(value)


@pytest.fixture
def keep_minutes(monkeypatch: pytest.MonkeyPatch) -> Callable[[Ensemble], None]:
    """Return a function after which every flight has one's times between passages of a layer.

    A changed flight keeps the air of the old one; drawn afresh it would have its own.
    """

    def keep(ensemble: Ensemble) -> None:
        elapsed_s = between_passages_s(ensemble.sortie, ensemble.air.column)
        monkeypatch.setattr(airdoubts, "between_passages_s", lambda *_: elapsed_s)

    return keep


@pytest.fixture
def document() -> Document:
    """Return the demo flight, to be changed at will."""
    return copy.deepcopy(tomllib.loads(DEMO.read_text(encoding="utf-8")))


@pytest.fixture
def put() -> Callable[[Document, str, Document], Document]:
    """Return a function that changes keys of one section, of its last entry; None takes one out."""

    def change(document: Document, section: str, keys: Document) -> Document:
        table = document.setdefault(section, {})
        table = table[-1] if isinstance(table, list) else table
        for key, value in keys.items():
            table.pop(key, None)
            if value is not None:
                table[key] = value
        return document

    return change


@pytest.fixture
def written(tmp_path: Path) -> Callable[[Document], Path]:
    """Return a function that writes a document and returns the file."""

    def write(document: Document) -> Path:
        path = tmp_path / "flight.toml"
        path.write_text(as_toml(document), encoding="utf-8")
        return path

    return write


@pytest.fixture
def read(written: Callable[[Document], Path]) -> Callable[[Document], FlightFile]:
    """Return a function that reads a document as a flight."""
    return lambda document: read_flight_file(written(document))


@pytest.fixture
def refusals(written: Callable[[Document], Path]) -> Callable[[Document], list[str]]:
    """Return a function that reads a document and returns its problems."""

    def refuse(document: Document) -> list[str]:
        with pytest.raises(FlightFileError) as caught:
            read_flight_file(written(document))
        return [str(problem) for problem in caught.value.problems]

    return refuse


@pytest.fixture(scope="module")
def sortie(demo_flight: FlightFile) -> Sortie:
    """Return the demo without its links: reach, packs and light alone."""
    return replace(demo_flight.sortie, links=(), stands=(), terrain=None)


@pytest.fixture(scope="module")
def boxed_pack(sortie: Sortie) -> PackSpec:
    """Return the pack of the demo with its cells in a box."""
    return replace(sortie.packs[0], cold_ratio=None, box=BOX)


@pytest.fixture(scope="session")
def taken_along() -> Callable[[Sounding, Sortie, Sortie], Sounding]:
    """Return a function that has winds as old and as near for another flight as for their own."""

    def take(winds: Sounding, own: Sortie, other: Sortie) -> Sounding:
        old, new = own.launch, other.launch
        return replace(
            winds,
            t_s=winds.t_s + new.t_s - old.t_s,
            lat_deg=winds.lat_deg + new.lat_deg - old.lat_deg,
            lon_deg=wrapped_lon_deg(winds.lon_deg + new.lon_deg - old.lon_deg),
        )

    return take


@pytest.fixture(scope="module")
def planned(
    demo_flight: FlightFile,
    demo_sounding: Sounding,
    taken_along: Callable[[Sounding, Sortie, Sortie], Sounding],
) -> Planned:
    """Return a function that plans a sortie in the winds of the demo, and shows it to all faces."""

    def make(sortie: Sortie) -> Outlook:
        winds = taken_along(demo_sounding, demo_flight.sortie, sortie)
        outlook = plan(sortie, Pack(sounding=winds), Grain(n_draws=100))
        json.dumps(outlook.document(), allow_nan=False)
        assert "nan" not in "\n".join(answer_lines(outlook)).split()
        assert render_brief(outlook).startswith("<!doctype html>")
        return outlook

    return make


@pytest.fixture(scope="module")
def demo(sortie: Sortie, planned: Planned) -> Outlook:
    """Return the plan of the demo with 100 draws."""
    return planned(sortie)


def least(folder: Path, balloon: str = "", glider: str = "", launch: str = "") -> FlightFile:
    """Read the least flight file there is, with more keys in some sections."""
    path = folder / "least.toml"
    path.write_text(LEAST.format(balloon=balloon, glider=glider, launch=launch), encoding="utf-8")
    return read_flight_file(path)


def glides(*rows: str) -> str:
    """Write timed glides, and the measures of the wing that they need."""
    return "area_m2 = 0.15\naspect_ratio = 5.2\n" + "".join(
        f"[[glider.timed_glides]]\n{row}\n" for row in rows
    )


def timed(speed_mps: float) -> str:
    """Write a glide of 60 m with the polar C_D = 0.04 + 0.08 C_L^2 over ground at sea level."""
    weight_n = 0.68 * 9.80665
    force_n = 0.5 * 1.225 * speed_mps**2 * 0.15
    sine = 0.0
    for _ in range(50):
        lift = weight_n * math.sqrt(1.0 - sine**2) / force_n
        sine = force_n * (0.04 + 0.08 * lift**2) / weight_n
    lasts_s = 60.0 / (speed_mps * math.sqrt(1.225 / 1.2215) * sine)  # air of 30 m
    return f"from_agl_m = 60\nduration_s = {lasts_s:.3f}\nspeed_eas_mps = {speed_mps}"


@pytest.fixture
def linked(document: Document) -> Callable[[dict[str, float]], Document]:
    """Return a function that adds a command link with more keys to a flight file."""

    def with_link(more: dict[str, float]) -> Document:
        link = {
            "name": "command", "purpose": "command", "frequency_mhz": 869.5, "bandwidth_khz": 100,
            "power_mw": 500, "sensitivity_dbm": -110,
        }  # fmt: skip
        return {**document, "parts": [], "links": [{**link, **more}]}

    return with_link


@pytest.fixture(scope="session")
def samples() -> ModuleType:
    """Return sample_outlook.py: whole outlooks made by hand, for all that people see."""
    spec = importlib.util.spec_from_file_location(
        "sample_outlook", Path(__file__).parent / "present" / "sample_outlook.py"
    )
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture
def outlook(samples: ModuleType) -> Outlook:
    """Return the sample outlook of a flight that is cleared and released."""
    made = samples.sample()
    assert isinstance(made, Outlook)
    return made


@pytest.fixture
def pages_of_card(tmp_path: Path) -> Callable[[str], int]:
    """Return a function that prints the card of a brief and counts its pages."""
    if _BROWSER is None:
        pytest.skip("no browser to print with")

    def printed(brief: str) -> int:
        card = (
            brief[: brief.index('<article class="sheet" id="launching">')] + "</main></body></html>"
        )
        (tmp_path / "card.html").write_text(card, encoding="utf-8")
        profile, pdf = f"--user-data-dir={tmp_path / 'profile'}", tmp_path / "card.pdf"
        command = [
            str(_BROWSER), *_QUIET, profile, f"--print-to-pdf={pdf}", f"file://{tmp_path}/card.html"
        ]  # fmt: skip
        subprocess.run(command, check=True, capture_output=True, timeout=300)
        return len(re.findall(rb"/Type */Page\b", pdf.read_bytes()))

    return printed
