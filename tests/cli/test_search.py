"""The search command, as a person runs it: sentence, layers, JSON, and refusals."""

import json
from importlib.resources import files
from pathlib import Path

from farglide.outlook.search import SearchOutlook

from .conftest import Said

DEMO = Path(str(files("farglide.flightfile") / "assets")) / "amber-evening.toml"
LAST = ("--last", "-46.55, 108.1, 120 m above ground", "--at", "T+60", "--heading", "320")


def test_words_and_layers(said: Said, tmp_path: Path) -> None:
    code, text, _ = said("search", DEMO, *LAST, "--from", "stile", "--out", tmp_path / "out")
    assert code == 0
    assert text.startswith("Look first in segment A, at the last place, near 46.55")
    assert "Be back at the car by 19:53, a quarter of an hour before dusk." in text
    assert "Ask the owner before you enter any land" in text
    names = sorted(one.name for one in (tmp_path / "out").iterdir())
    assert names == ["search.geojson", "search.gpx"]


def test_what_was_looked_at_moves_the_first_place(said: Said) -> None:
    asked = ("search", DEMO, *LAST, "--from", "stile", "--cover", "grass")
    code, text, _ = said(*asked, "--json", "--looked", "A=90", "--bearing", "wether=300")
    assert code == 0
    found = json.loads(text)
    assert list(found) == list(SearchOutlook.__dataclass_fields__)
    assert found["steps"][0]["segment"] != "A1"
    before = {one["name"]: one["before_ratio"] for one in found["segments"]}
    now = {one["name"]: one["chance_ratio"] for one in found["segments"]}
    assert now["A1"] < 0.6 * before["A1"]


def test_refusals(said: Said, tmp_path: Path) -> None:
    code, text, err = said("search", DEMO, "--last", "-46.55, 108.1, 100 m")
    assert (code, text) == (2, "")
    assert "height last seen is 100 m; allowed: 2" in err
    code, _, err = said("search", DEMO, *LAST, "--looked", "ZZ=5")
    assert code == 2
    assert "segment is ZZ; allowed: of these: A, B" in err
    taken = tmp_path / "taken"
    taken.write_text("")
    code, _, err = said("search", DEMO, *LAST, "--out", taken)
    assert code == 2
    assert "This is a file. Choose another name." in err
