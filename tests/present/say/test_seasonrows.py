"""A comparison as rows: one for each launch, plain numbers, empty where nothing is known."""

import csv
import io
from dataclasses import replace

from tests.season.made import CELL, OUTLOOK

from farglide.outlook.season import Crossed
from farglide.present.say.seasonrows import HEADS, season_csv


def test_each_launch_is_one_row_of_plain_numbers() -> None:
    crossed = (Crossed(name="State line, west", kind="border", chance_ratio=0.31),)
    lost = replace(CELL, release_by_after_launch_s=None, landing_wind_mps=float("nan"),
                   crossed=crossed)  # fmt: skip
    text = season_csv(replace(OUTLOOK, cells=(CELL, lost)))
    first, second = csv.DictReader(io.StringIO(text))
    assert tuple(first) == HEADS
    assert first["launch_utc"] == "2027-01-23T10:26:40Z"
    assert (first["rank"], second["rank"]) == ("1", "2")
    assert float(first["home_ratio"]) == CELL.home_ratio
    assert float(first["burst_amsl_p50_m"]) == 29_900.0
    assert second["crossed"] == "State line, west 0.31"
    assert (second["release_by_after_launch_s"], second["landing_wind_mps"]) == ("", "")
    assert "e+" not in text
