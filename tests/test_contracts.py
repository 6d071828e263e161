"""Each contract between rooms fails when an import that it forbids is planted."""

import os
import re
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]

PLANTS = {  # contract: the module that gets the import, and what it imports
    "Values flow down, answers flow up": ("flightfile.template", "farglide.plan.plan"),
    "Inside the chances: what is decided follows from chances, chances from a case": (
        "chances.ensemble", "farglide.chances.window",
    ),
    "Inside what is left after the balloon: fields ask the loose flight, that its laws": (
        "chances.after.closing", "farglide.chances.after.loose",
    ),
    "Inside the plan: the whole asks the parts": ("plan.ascent", "farglide.plan.verdict"),
    "Inside the season: the whole asks tasks, tasks ask draws": (
        "season.places", "farglide.season.task",
    ),
    "Inside the search: looks are ordered over segments, segments laid over points": (
        "search.grid", "farglide.search.segments",
    ),
    "Inside the review: the whole asks what each flight says": (
        "review.pooled", "farglide.review.honesty",
    ),
    "Inside the presentation: pictures use words, words use no picture": (
        "present.say.text", "farglide.present.draw.svg",
    ),
    "Inside the engines: flights ask the reach, all ask the core": (
        "sim.core.workers", "farglide.sim.fly.climb",
    ),
    "Inside the radio: links ask antennas, antennas ask the path": (
        "radio.path.space", "farglide.radio.link",
    ),
    "Inside the sources: formats ask levels, levels ask files": (
        "sources.files", "farglide.sources.elevation.elevation",
    ),
    "Inside the grids: what a forecast tells follows from headers, headers from octets": (
        "sources.grids.layout", "farglide.sources.grids.field",
    ),
    "Inside the flight file: the whole asks the sections, sections ask how keys are read": (
        "flightfile.reading.endings", "farglide.flightfile.entries",
    ),
    "Inside the pack: the whole asks its parts, all ask the manifest": (
        "packfile.manifest", "farglide.packfile.winds",
    ),
    "Inside the track: log and tracks of others ask what a report is": (
        "track.reports", "farglide.track.journal.frame",
    ),
    "Inside the gathering: fetched files are read like any other": (
        "gather.swap", "farglide.gather.packing",
    ),
    "Inside the fetching: the whole asks batches, batches parts, parts a client": (
        "gather.fetch.source", "farglide.gather.fetch.client",
    ),
    "No cycles between siblings": ("earth.state", "farglide.earth.look"),
    "Flight day works with no network and no foreign files": (
        "rig.area", "farglide.gather.accept",
    ),
    "What shows an answer asks for none": ("present.draw.svg", "farglide.chances.case"),
    "What shows an answer knows no engine and no law of flight": (
        "present.part", "farglide.sim.core.step",
    ),
    "Laws know nothing of files, shapes of storage or the network": ("air.standard", "rasterio"),
    "Only the readers know foreign file formats": ("cli.new", "netCDF4"),
    "Only gather reads through the readers": ("cli.told", "farglide.sources.winds"),
    "Only the command line gathers": ("report.cards", "farglide.gather.gather"),
    "Only the ride listens to ports": ("track.reports", "socket"),
    "Only the fetching asks a network": ("gather.packing", "urllib3"),
}  # fmt: skip


@pytest.fixture(scope="module")
def told(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """Return what the linter says of each contract it finds broken, all imports planted at once."""
    root = tmp_path_factory.mktemp("planted")
    shutil.copytree(ROOT / "src" / "farglide", root / "farglide")
    shutil.copy(ROOT / "pyproject.toml", root)
    for module, imported in PLANTS.values():
        path = root / "farglide" / (module.replace(".", "/") + ".py")
        path.write_text(path.read_text(encoding="utf-8") + f"\nimport {imported}  # planted\n")
    linter = Path(sys.executable).parent / "lint-imports"
    ran = subprocess.run(
        [linter, "--no-cache"],
        cwd=root,
        env=os.environ | {"PYTHONPATH": str(root), "COLUMNS": "500"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert ran.returncode == 1, ran.stdout
    parts = re.split(r"\n(.+)\n-+\n", ran.stdout.partition("Broken contracts")[2])
    return dict(zip(parts[1::2], parts[2::2], strict=True))


def test_every_contract_has_its_planted_import() -> None:
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    contracts = settings["tool"]["importlinter"]["contracts"]
    assert [one["name"] for one in contracts] == list(PLANTS)


@pytest.mark.parametrize("contract", list(PLANTS))
def test_a_planted_import_breaks_its_contract(contract: str, told: dict[str, str]) -> None:
    module, imported = PLANTS[contract]
    assert contract in told
    words = " ".join(told[contract].split())
    if contract == "No cycles between siblings":
        assert ".look" in words
        assert ".state" in words
    else:
        assert f"farglide.{module} -> {imported}" in words
