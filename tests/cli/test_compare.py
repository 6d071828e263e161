"""The compare command, as a person runs it: words, sheet, table and layer, and refusals."""

import json
from pathlib import Path

import pytest

from farglide.cli.plan import DEMO

from .conftest import Said

FEW = ("--draws", "50", "--within-km", "0", "--every", "240")


def test_words_sheet_table_and_layer(said: Said, tmp_path: Path) -> None:
    out = tmp_path / "which"
    code, text, err = said("compare", DEMO, *FEW, "--neck", "2.0", "--neck", "2.3", "--out", out)
    assert code == 0, err
    assert text.startswith("Launch Sat 23 Jan ")
    assert "2 fills" in text
    assert "comparing launches" in err
    names = sorted(one.name for one in out.iterdir())
    assert names == ["compare.csv", "compare.geojson", "compare.html", "compare.json"]
    document = json.loads((out / "compare.json").read_text(encoding="utf-8"))
    n_lines = len((out / "compare.csv").read_text(encoding="utf-8").splitlines())
    assert n_lines == 1 + len(document["cells"])


def test_a_document_of_a_day_and_of_moments(said: Said) -> None:
    code, text, err = said("compare", DEMO, *FEW, "--from", "2027-01-23", "--to", "2027-01-23",
                           "--json")  # fmt: skip
    assert code == 0, err
    day = {one["launch_t_s"] for one in json.loads(text)["cells"]}
    code, text, _ = said("compare", DEMO, *FEW, "--from", "2027-01-23T09:00:00Z", "--to",
                         "2027-01-23T09:30:00Z", "--json", "--every", "30")  # fmt: skip
    assert code == 0
    assert len(day) > 1
    assert {one["launch_t_s"] for one in json.loads(text)["cells"]} == {1800694800.0, 1800696600.0}


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("--every", "1"), "--every is 1 min; allowed: 10 to 1440 min."),
        (("--neck", "0.2"), "more than the"),
        (("--neck", "50"), "--neck is 50 kg"),
        (("--from", "next week"), "--from is 'next week'; allowed: a day, or"),
        (("--from", "2027-02-31"), "a day, such as 2027-01-23"),
        (("--from", "2027-01-25", "--to", "2027-01-23"), "a day not before the first"),
        (("--spacing-km", "5", "--within-km", "300"), "up to 400"),
        (("--draws", "5"), "--draws is 5"),
    ],
)
def test_refusals(said: Said, arguments: tuple[str, ...], words: str) -> None:
    code, _, err = said("compare", DEMO, *FEW, *arguments)
    assert code == 2
    assert words in " ".join(err.split())
