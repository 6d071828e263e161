"""Links of a flight file: read, and refused where they cannot hold together."""

from collections.abc import Callable
from importlib.resources import files
from pathlib import Path

import pytest

from farglide.errors import FlightFileError
from farglide.flightfile.flightfile import FlightFile, read_flight_file
from farglide.flightfile.sections.linkproblems import law_problems, link_problems
from farglide.flightfile.sections.links import LINKS, eirp_of_w, fill_radio, link_spec
from farglide.radio.ends.end import GroundTest
from farglide.sortie.known import Tag

from ...conftest import Document
from ..conftest import Entered

DEMO = Path(str(files("farglide.flightfile") / "assets" / "amber-evening.toml"))


TESTED = (
    "offset_db = 0                            # a ground test found it as budgeted\nspread_db = 2"
)


def changed(tmp_path: Path, old: str, new: str) -> Path:
    text = DEMO.read_text(encoding="utf-8")
    assert old in text
    path = tmp_path / "flight.toml"
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    return path


def refused(path: Path) -> str:
    with pytest.raises(FlightFileError) as caught:
        read_flight_file(path)
    return str(caught.value)


def test_the_links_of_the_demo(demo_flight: FlightFile) -> None:
    picture, command = demo_flight.sortie.links
    assert (picture.name, picture.purpose, picture.is_digital) == ("picture", "picture", False)
    assert (picture.frequency_hz, picture.bandwidth_hz) == (2370e6, 16e6)
    assert (picture.noise_figure_db, picture.needed_ratio_db) == (2.0, 9.0)
    assert picture.sensitivity_dbm is None
    assert command.power_w == 0.5
    assert (command.is_digital, command.sensitivity_dbm) == (True, -107.0)


def test_units_of_the_trade(tmp_path: Path) -> None:
    path = changed(tmp_path, "frequency_mhz = 2370", "frequency_ghz = 2.37")
    assert read_flight_file(path).sortie.links[0].frequency_hz == pytest.approx(2370e6)
    path = changed(tmp_path, "power_w = 0.8", "power_mw = 800")
    assert read_flight_file(path).sortie.links[0].power_w == pytest.approx(0.8)
    path = changed(tmp_path, "sensitivity_dbm = -107", "reached_km = 200")
    assert read_flight_file(path).sortie.links[1].reached_m == pytest.approx(200e3)


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("sensitivity_dbm = -107", "", "[[links]] 2: states no threshold."),
        ("sensitivity_dbm = -107", "sensitivity_dbm = 107", "allowed: -160 to -20 dBm"),
        ("needed_ratio_db = 9", "", "needs both"),
        ("needed_ratio_db = 9", "needed_ratio_db = 9\nreached_km = 50", "more than one threshold"),
        ("frequency_mhz = 2370", "frequency_ghz = 15.1", "allowed: 0.03 to 15 GHz"),
        ("bandwidth_mhz = 16", "bandwidth_mhz = -16", "bandwidth_mhz = 16 would fit"),
        ("bandwidth_khz = 100", "bandwidth_mhz = 900", "Are the two exchanged?"),
        ("receiver_gain_dbi = 18", "receiver_gain_dbi = 400", "allowed: -30 to 50 dBi"),
        ("power_w = 0.8", "power_w = 29000", "allowed: 0.000001 to 100 W"),
        ("power_w = 0.8", "power_dbm = 29", "power_dbm"),
        ('purpose = "picture"', 'purpose = "music"', "command"),
        ('purpose = "picture"', "", "purpose"),
        ('kind = "digital"', 'kind = "digitl"', 'Did you mean "digital"?'),
        ('name = "command"', 'name = "picture"', "picture"),
        ('files = ["amber-evening-ground.tif"]', "files = 3", "not a list of names"),
        ('files = ["amber-evening-ground.tif"]', "void_m = 0", "files: is missing"),
        ("lon_deg = 108.235165", "lon_deg = -108.235165", "[[stands]] 2"),
    ],
)
def test_what_cannot_be_is_refused(tmp_path: Path, old: str, new: str, words: str) -> None:
    text = DEMO.read_text(encoding="utf-8")
    if old not in text:  # the place of a stand as the script writes it
        start = text.index("lon_deg", text.index("Wether Knap"))
        old = text[start : text.index("\n", start)]
        new = old.replace("= ", "= -")
    assert words in refused(changed(tmp_path, old, new))


def test_a_flight_without_links_and_stands_is_read(tmp_path: Path) -> None:
    text = DEMO.read_text(encoding="utf-8")
    start, end = text.index("[[links]]"), text.index("\n[doubt]\n")
    path = tmp_path / "flight.toml"
    path.write_text(text[:start] + text[end:], encoding="utf-8")
    sortie = read_flight_file(path).sortie
    assert (sortie.links, sortie.stands) == ((), ())


def test_an_offset_beyond_ten_decibels_asks_for_the_fault(tmp_path: Path) -> None:
    near = read_flight_file(changed(tmp_path, TESTED, "offset_db = -4"))
    assert near.sortie.links[0].offset_db == -4.0
    assert "find the fault" not in " ".join(near.notes)
    assert near.sortie.links[0].spread_db == 3.0
    far = read_flight_file(changed(tmp_path, TESTED, "offset_db = -14"))
    assert "Link picture stood -14 dB off its budget" in " ".join(far.notes)


def test_a_budget_without_a_ground_test_is_off_by_eight_decibels(tmp_path: Path) -> None:
    untested = read_flight_file(changed(tmp_path, TESTED, ""))
    assert untested.sortie.links[0].spread_db == 8.0
    own = read_flight_file(changed(tmp_path, TESTED, "spread_db = 5"))
    assert own.sortie.links[0].spread_db == 5.0


def test_rain_reaches_as_high_as_where_the_launch_is(
    document: Document, read: Callable[[Document], FlightFile]
) -> None:
    # 46.5 S, 2450 m by latitude, and the lowest stand at 240
    assert read(document).sortie.links[0].rain_depth_m == pytest.approx(2210.0)
    for one in ("stands", "barriers", "launch_places"):
        document.pop(one, None)
    del document["fields"][1:]
    for place in (document["launch"], *document["fields"]):
        place |= {"lat_deg": 28.717, "lon_deg": 77.3}
    # ITU-R P.839-4 at New Delhi: 5258.2 m, less the launch's height where no stand is stated
    document["launch"]["amsl_m"] = 0.0
    assert {round(one.rain_depth_m) for one in read(document).sortie.links} == {5258}
    document["launch"]["amsl_m"] = 1258.0
    assert {round(one.rain_depth_m) for one in read(document).sortie.links} == {4000}


LINK = "[[links]]\npurpose = 'command'\nfrequency_mhz = 869.5\nbandwidth_khz = 100\n"
NEAR = "sensitivity_dbm = -110\n"


def test_a_link_of_few_numbers(entered: Entered) -> None:
    one = entered(LINKS, LINK + NEAR + "power_mw = 500\ntested_km = 1\ntested_margin_db = 14")
    spec = link_spec(one, Path())
    assert (spec.name, spec.purpose, spec.is_digital) == ("link 1", "command", False)
    assert spec.power_w == 0.5
    assert (spec.sender_gain_dbi, spec.rain_mmph, spec.is_eirp) == (0.0, 0.0, False)
    assert spec.tested == GroundTest(distance_m=1000.0, attenuator_db=0.0, margin_db=14.0)
    assert spec.spread_db == 3.0  # tested
    assert not list(link_problems([one]))
    assert not list(law_problems([one]))


def test_an_eirp_leaves_loss_and_gain_unsaid(entered: Entered) -> None:
    one = entered(LINKS, LINK + NEAR + "eirp_dbm = 30")
    assert eirp_of_w(one.numbers) == pytest.approx(1.0)
    assert eirp_of_w(entered(LINKS, LINK + "eirp_w = 2").numbers) == 2.0
    assert eirp_of_w(entered(LINKS, LINK + "power_w = 2").numbers) is None
    fill_radio([one])
    assert one.value("sender_gain_dbi") != one.value("sender_gain_dbi")  # NaN: not told
    spec = link_spec(one, Path())
    assert (spec.is_eirp, spec.sender_gain_dbi, spec.spread_db) == (True, 0.0, 8.0)


def test_a_receiver_by_its_sensitivity_alone_needs_no_bandwidth(tmp_path: Path) -> None:
    path = changed(tmp_path, "bandwidth_khz = 100\n", "")
    flight = read_flight_file(path)
    assert flight.sortie.links[1].bandwidth_hz == 25e3
    assert flight.sortie.tags["links[command].bandwidth_hz"] is Tag.TYPICAL
