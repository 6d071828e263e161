"""The review command, as a person runs it: one log, several, tracks, the files, and refusals."""

import tomllib
from pathlib import Path

import pytest

from farglide.outlook.review import Review

from ..review.made import Made
from .commands import FEW, Said, assert_refused, strictly_read
from .logs import demo_head, made_flight, write_ride, write_track


@pytest.fixture(scope="module")
def made() -> Made:
    """Return a flight as planned."""
    return made_flight()


@pytest.fixture
def log(made: Made, tmp_path: Path) -> Path:
    """Return its log."""
    return write_ride(tmp_path / "ride.log", made, demo_head())


def test_one_log_is_reviewed_without_any_other_file(said: Said, log: Path) -> None:
    code, text, _ = said("review", log, *FEW)
    assert code == 0
    plain = " ".join(text.split())
    for words in ("launched 16:40: it was let go at", "came down on Harrowend strip",
                  "What was promised, and what happened", "What to believe next time",
                  "How true the chances were", "What would have bought most",
                  "flat ground"):  # fmt: skip
        assert words in plain
    assert max(map(len, text.splitlines())) <= 100


def test_files_are_written_and_agree(said: Said, log: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    code, text, _ = said("review", log, "--out", out, *FEW)
    assert code == 0
    assert f"Review: {out / 'review.html'}." in text
    document = strictly_read((out / "review.json").read_text(encoding="utf-8"))
    assert list(document) == list(Review.__dataclass_fields__)
    read = tomllib.loads((out / "next.toml").read_text(encoding="utf-8"))
    drag = next(one for one in document["learned"] if one["key"] == "balloon.drag_factor")
    assert read["balloon"]["drag_factor"] == pytest.approx(drag["use"], rel=1e-3)
    page = (out / "review.html").read_text(encoding="utf-8")
    assert f"{drag['use']:.3g} ±" in page


def test_next_values_are_taken_by_a_flight_file(said: Said, log: Path, tmp_path: Path) -> None:
    """Each line in place of the one with its key: the file is read, and has the numbers."""
    from farglide.cli.plan import DEMO
    from farglide.flightfile.flightfile import flight_of_text

    out = tmp_path / "out"
    said("review", log, "--out", out, *FEW)
    read = tomllib.loads((out / "next.toml").read_text(encoding="utf-8"))
    lines = DEMO.read_text(encoding="utf-8").splitlines()
    section, name, kept = "", "", list[str]()
    values = {(f"[{key}]", one): x for key, table in read.items() if isinstance(table, dict)
              for one, x in table.items()}  # fmt: skip
    values |= {(f"[[{key}]] {row['name']}", one): x for key, rows in read.items()
               if isinstance(rows, list) for row in rows
               for one, x in row.items() if one != "name"}  # fmt: skip
    for line in lines:
        key = line.partition("=")[0].strip()
        if line.startswith("["):
            section, name = line.strip(), ""
        if key == "name" and section.startswith("[["):
            name = " " + line.partition('"')[2].partition('"')[0]
        taken = values.pop((section + name, key), None)
        kept.append(line if taken is None else f"{key} = {taken}")
    for (head, key), x in values.items():  # what the file left out
        at = kept.index(head.partition("]] ")[0] + ("]]" if "]] " in head else ""))
        kept.insert(at + 1, f"{key} = {x}")
    flight = flight_of_text("\n".join(kept), DEMO)
    assert flight.sortie.balloon.drag_factor.value == read["balloon"]["drag_factor"]
    glide = flight.sortie.glider.glide_factor
    assert glide.spread_ratio == pytest.approx(read["glider"]["glide_factor_spread_ratio"])


def test_a_log_cut_off_is_reviewed_up_to_there(said: Said, log: Path, tmp_path: Path) -> None:
    data, part = log.read_bytes(), tmp_path / "cut.log"
    part.write_bytes(data[: int(0.4 * len(data))])
    code, text, _ = said("review", part, *FEW)
    assert code == 0
    assert "it was still carried when it was heard last" in " ".join(text.split())
    assert "The log is unfinished: this is the flight so far." in text


def test_logs_and_tracks_are_pooled(said: Said, log: Path, made: Made, tmp_path: Path) -> None:
    track = write_track(tmp_path / "old.csv", made.flown.fixes)
    code, text, _ = said("review", log, track, "--json", *FEW)
    assert code == 0
    document = strictly_read(text)
    drag = next(one for one in document["learned"] if one["key"] == "balloon.drag_factor")
    assert drag["n_told"] == 2
    assert [one["ended"] for one in document["flights"]] == ["released", "released"]
    bare = next(one for one in document["flights"] if one["log"].endswith("old.csv"))
    assert bare["promises"] == []


def test_one_that_cannot_be_read_is_named_and_the_others_are_reviewed(
    said: Said, log: Path, tmp_path: Path
) -> None:
    broken = tmp_path / "broken.log"
    broken.write_bytes(log.read_bytes()[:40])
    code, text, _ = said("review", log, broken, *FEW)
    assert code == 0
    assert "Left out:" in text
    assert "broken.log" in text
    assert_refused(said("review", broken, *FEW), "broken.log", progress=True)


def test_refusals(said: Said, log: Path, tmp_path: Path) -> None:
    assert_refused(said("review", log, log, *FEW), "ride.log, twice; allowed: each flight once")
    track = tmp_path / "old.csv"
    track.write_text("time,lat,lon,alt\n1,2,3,4\n", encoding="utf-8")
    assert_refused(said("review", track, *FEW), "a track alone", "--flight FILE", progress=True)
    gone, flight = tmp_path / "gone.log", tmp_path / "mine.toml"
    assert_refused(said("review", gone, *FEW), "gone.log: is not there.", progress=True)
    flight.write_text("[flight]\n", encoding="utf-8")
    assert_refused(said("review", flight, *FEW), "is a flight file", "--flight", progress=True)
    assert_refused(said("review", log, "--draws", 1), "--draws is 1")
    file = tmp_path / "file"
    file.write_text("")
    assert_refused(said("review", log, "--out", file, *FEW), "--out", "This is a file")
