"""BUFR soundings: real reports, and what the reader makes of gaps in them."""

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from pyproj import Geod

from farglide.air.sounding import Sounding
from farglide.errors import SourceError
from farglide.sources.soundings import bufr_temp
from farglide.sources.soundings.bufr_messages import RawMessage
from farglide.sources.soundings.bufr_temp import (
    read_bufr,
    read_nearest_bufr,
    relative_humidity_ratio,
)

Writer = Callable[[str, str | bytes], Path]


@pytest.fixture(scope="module")
def giles(authorities: Path) -> Sounding:
    (sounding,) = read_bufr(authorities / "giles_20160403.bufr")[0]
    return sounding


@pytest.fixture(scope="module")
def prague(authorities: Path) -> list[Sounding]:
    return read_bufr(authorities / "prague_20071120.bufr")[0]


def test_dense_flight_is_read_from_ground_to_burst(giles: Sounding) -> None:
    # The values of the report itself: its second and last but one level.
    assert giles.gph_m[0] == 599.0
    assert giles.p_pa[0] == 95_000.0
    assert giles.t_k[0] == 297.35
    assert giles.gph_m[-1] == 30_571.0
    assert giles.p_pa[-1] == 1080.0
    assert giles.t_k[-1] == pytest.approx(231.91)
    # From 96 degrees with 19.6 m/s: toward west and a little north.
    assert giles.u_mps[-1] == pytest.approx(-19.6 * np.sin(np.radians(96.0)))
    assert giles.v_mps[-1] == pytest.approx(-19.6 * np.cos(np.radians(96.0)))
    assert giles.elapsed_s is not None
    assert giles.elapsed_s[-1] == 5452.0  # 90.9 min
    assert len(giles.gph_m) == 2739  # of 2743: two without air, two not above the one before


def test_dense_flight_agrees_with_another_reader_in_between(giles: Sounding) -> None:
    assert giles.elapsed_s is not None
    # Level 1001 of the report as ecCodes 2.50.0 reads it, in the order of its arrays.
    i = int(np.flatnonzero(giles.elapsed_s == 1984.0)[0])
    assert (giles.p_pa[i], giles.gph_m[i]) == (20_820.0, 12_181.0)
    assert giles.t_k[i] == pytest.approx(220.08)
    assert giles.u_mps[i] == pytest.approx(-2.0 * np.sin(np.radians(162.0)))


def test_dense_flight_place_and_time(giles: Sounding) -> None:
    assert giles.lat_deg == pytest.approx(-25.0341)
    assert giles.lon_deg == pytest.approx(128.301)
    assert giles.t_s == 1459725338.0  # 2016-04-03 23:15:38 UTC
    assert giles.origin == "sounding WMO station 94461 2016-04-03 23:15 UTC"


def test_levels_without_air_are_counted(giles: Sounding) -> None:
    # 1000 hPa lies below the ground there, 10 hPa above the burst.
    assert "2 levels with neither temperature nor wind left out" in giles.notes


def test_reported_displacement_ends_where_it_is_known_to_end(giles: Sounding) -> None:
    assert giles.lat_offset_deg is not None
    assert giles.lon_offset_deg is not None
    geod = Geod(ellps="WGS84")
    azimuth_deg, _, distance_m = geod.inv(
        giles.lon_deg,
        giles.lat_deg,
        giles.lon_deg + giles.lon_offset_deg[-1],
        giles.lat_deg + giles.lat_offset_deg[-1],
    )
    # The last displacement of the report is 0.03531 degrees north, 0.14115 west.
    assert distance_m == pytest.approx(14_770.0, abs=10.0)
    assert azimuth_deg % 360.0 == pytest.approx(285.3, abs=0.1)


def test_reported_winds_carry_to_the_reported_end(giles: Sounding) -> None:
    """The winds, stepped over the elapsed time, meet the satellite positions within 0.5 km."""
    assert giles.elapsed_s is not None
    assert giles.lat_offset_deg is not None
    assert giles.lon_offset_deg is not None
    step_s = np.diff(giles.elapsed_s)
    east_m = float(np.sum(0.5 * (giles.u_mps[1:] + giles.u_mps[:-1]) * step_s))
    north_m = float(np.sum(0.5 * (giles.v_mps[1:] + giles.v_mps[:-1]) * step_s))
    # Metres in a degree on the ellipsoid at 25 degrees south: WGS84, 110 773 and 100 950 m.
    end_east_m = giles.lon_offset_deg[-1] * 100_950.0
    end_north_m = giles.lat_offset_deg[-1] * 110_773.0
    assert np.hypot(east_m - end_east_m, north_m - end_north_m) < 500.0


def test_four_flights_in_one_file(prague: list[Sounding]) -> None:
    # Times from the reports; tops are the highest levels that have a wind.
    assert [s.t_s for s in prague] == [1195579800.0, 1195557300.0, 1195536540.0, 1195514100.0]
    assert [s.gph_m[-1] for s in prague] == [29265.0, 31869.0, 27394.0, 23915.0]
    assert {s.gph_m[0] for s in prague} == {304.0}


def test_highest_level_without_wind_is_left_out_and_named(prague: list[Sounding]) -> None:
    # The last level of the last report, 23 943 m, has a temperature but no wind.
    assert any("wind 304 to 23915 m, temperature 304 to 23943 m" in n for n in prague[3].notes)


def test_wind_shear_block_is_no_level(prague: list[Sounding]) -> None:
    # 65 levels and a shear block of one; less 1000 hPa below ground, the block and the top.
    assert len(prague[3].gph_m) == 63
    assert (prague[3].p_pa == 21_320.0).sum() == 1  # where the block repeats a level


def test_reports_without_displacement(authorities: Path) -> None:
    soundings, skipped = read_bufr(authorities / "temp_20081208.bufr")
    names = [sounding.origin.split()[3] for sounding in soundings]
    assert names == ["71907", "72528", "08160", "17351", "58968"]
    assert skipped == []
    for sounding in soundings:
        assert sounding.elapsed_s is None
        assert sounding.lat_offset_deg is None
        assert (np.diff(sounding.p_pa) < 0.0).all()
        assert sounding.t_s == 1228737600.0  # 2008-12-08 12:00 UTC


@pytest.mark.parametrize(
    ("k", "p_pa", "expected"),
    [  # p, geopotential, temperature, wind direction and speed as ecCodes 2.50.0 reads them
        (0, 50_000.0, (48_940.0, 228.1, 260.0, 8.0)),
        (1, 50_000.0, (52_660.0, 243.1, 290.0, 34.0)),
        (1, 3000.0, (231_140.0, 218.7, 285.0, 9.0)),
        (2, 10_000.0, (157_990.0, 210.9, 290.0, 15.0)),
        (3, 10_000.0, (158_670.0, 208.1, 295.0, 18.0)),
        (4, 3000.0, (233_010.0, 217.3, 190.0, 7.0)),
    ],
)
def test_levels_agree_with_another_reader(
    k: int, p_pa: float, expected: tuple[float, float, float, float], authorities: Path
) -> None:
    sounding = read_bufr(authorities / "temp_20081208.bufr")[0][k]
    geopotential_m2ps2, t_k, wind_from_deg, wind_mps = expected
    i = int(np.flatnonzero(sounding.p_pa == p_pa)[0])
    assert sounding.gph_m[i] == pytest.approx(geopotential_m2ps2 / 9.80665)
    assert sounding.t_k[i] == pytest.approx(t_k)
    assert sounding.u_mps[i] == pytest.approx(-wind_mps * np.sin(np.radians(wind_from_deg)))
    assert sounding.v_mps[i] == pytest.approx(-wind_mps * np.cos(np.radians(wind_from_deg)))


def test_messages_that_are_no_soundings_are_skipped(written: Writer, authorities: Path) -> None:
    data = (authorities / "prague_20071120.bufr").read_bytes()
    start = data.index(b"BUFR")
    broken = bytearray(data)
    broken[start + 40 : start + 60] = b"\xff" * 20  # into the first message's data
    soundings, skipped = read_bufr(written("a.bufr", bytes(broken)))
    assert len(soundings) >= 3
    assert len(soundings) + len(skipped) == 4


def test_cut_short_file_is_refused(written: Writer, authorities: Path) -> None:
    data = (authorities / "giles_20160403.bufr").read_bytes()
    with pytest.raises(SourceError, match=r"message at byte \d+: is cut short: \d+ of 5\d+ bytes"):
        read_bufr(written("cut.bufr", data[:20_000]))


def test_wrong_end_is_refused(written: Writer, authorities: Path) -> None:
    data = (authorities / "giles_20160403.bufr").read_bytes()
    with pytest.raises(SourceError, match="does not end with '7777'"):
        read_bufr(written("end.bufr", data.replace(b"7777", b"7778")))


def test_undecodable_message_is_named(written: Writer, authorities: Path) -> None:
    data = bytearray((authorities / "giles_20160403.bufr").read_bytes())
    start = data.index(b"BUFR")
    data[start + 8 :] = b"\xff" * (len(data) - start - 8)
    length = int.from_bytes(data[start + 4 : start + 7], "big")
    data[start + length - 4 : start + length] = b"7777"
    with pytest.raises(SourceError, match=f"message at byte {start}: cannot be decoded"):
        read_bufr(written("bad.bufr", bytes(data)))


def test_file_without_message_is_refused(written: Writer) -> None:
    with pytest.raises(SourceError, match="holds no BUFR message"):
        read_bufr(written("none.bufr", b"nothing here" * 10))


def head_and_levels() -> list[tuple[int, object]]:
    """Return a made-up report as a decoder gives it: head, three full levels, one shear block."""
    pairs: list[tuple[int, object]] = [
        (1001, 3), (1002, 5), (4001, 2020), (4002, 1), (4003, 2), (4004, 11), (4005, 30),
        (5001, 52.0), (6001, -1.0), (7030, 100.0),
    ]  # fmt: skip
    for p_pa, gph_m, t_k in (
        (100_000.0, 111, 288.0),
        (50_000.0, 5590, 254.0),
        (25_000.0, 10400, 222.0),
    ):
        pairs += [(7004, p_pa), (10009, gph_m), (12101, t_k), (11001, 270), (11002, 10.0)]
    return pairs


@pytest.mark.parametrize(
    ("change", "reason"),
    [
        (lambda pairs: pairs[:15], "1 level with a pressure; allowed: 3 or more"),
        (lambda pairs: [p for p in pairs if p[0] != 11001], "wind is reported at 0 of 3 levels"),
        (lambda pairs: [p for p in pairs if p[0] != 12101], "temperature is reported at 0 of 3"),
        (lambda pairs: [p for p in pairs if p[0] != 10009], "reports no height"),
    ],
)
def test_incomplete_reports_say_what_they_lack(
    change: Callable[[list[tuple[int, object]]], list[tuple[int, object]]],
    reason: str,
    written: Writer,
    authorities: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    data = (authorities / "giles_20160403.bufr").read_bytes()
    monkeypatch.setattr(bufr_temp, "subsets", lambda *_: [change(head_and_levels())])
    with pytest.raises(SourceError, match=reason) as caught:
        read_bufr(written("report.bufr", data))
    assert "message 1" in str(caught.value)


def test_quality_information_is_no_air(
    written: Writer, authorities: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    quality = [(222_000, None), (7004, 1.0), (12101, 100.0)]
    data = (authorities / "giles_20160403.bufr").read_bytes()
    monkeypatch.setattr(bufr_temp, "subsets", lambda *_: [head_and_levels() + quality])
    (sounding,), _ = read_bufr(written("report.bufr", data))
    assert sounding.p_pa.tolist() == [100_000.0, 50_000.0, 25_000.0]
    assert sounding.u_mps == pytest.approx([10.0] * 3)
    assert sounding.t_s == 1577964600.0  # 2020-01-02 11:30 UTC


def test_against_saturation_tables() -> None:
    # The short form itself at -40, 25 and 40 C: 0.19021, 31.6006, 73.6746 hPa, printed to 5 digits
    found = relative_humidity_ratio(np.array([298.15, 313.15]), np.array([233.15, 298.15]))
    assert found.tolist() == pytest.approx([0.19021 / 31.6006, 31.6006 / 73.6746], rel=4e-5)
    # Goff-Gratch tables, from memory: 0 C 6.11, 10 C 12.27, 20 C 23.37, 30 C 42.43 hPa; ratios of
    # two such laws are within 0.2 %.
    t_k = np.array([283.15, 293.15, 303.15])
    dew_point_k = np.array([273.15, 283.15, 293.15])
    expected = [6.11 / 12.27, 12.27 / 23.37, 23.37 / 42.43]
    assert relative_humidity_ratio(t_k, dew_point_k).tolist() == pytest.approx(expected, rel=2e-3)


def test_saturated_air_and_nonsense() -> None:
    t_k = np.array([280.0, 280.0, np.nan, 100.0])
    dew_point_k = np.array([280.0, 285.0, 270.0, 90.0])
    ratio = relative_humidity_ratio(t_k, dew_point_k)
    assert ratio[0] == 1.0
    assert np.isnan(ratio[1:]).all()  # a dew point above the temperature says nothing


def test_the_nearest_is_found_without_decoding_the_others(
    authorities: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    decoded, subsets = list[int](), bufr_temp.subsets

    def counting(message: RawMessage, path: Path) -> list[list[tuple[int, object]]]:
        decoded.append(message.start)
        return subsets(message, path)

    monkeypatch.setattr(bufr_temp, "subsets", counting)
    network = authorities / "temp_network_20081208.bufr"
    found = read_nearest_bufr(network, lambda spot: abs(spot.lat_deg - 70.94) + abs(spot.lon_deg))
    assert found.sounding.lat_deg == pytest.approx(70.94, abs=0.5)
    assert found.n_reports == 420
    assert len(decoded) == 1 + found.n_skipped < 10


@pytest.mark.parametrize("name", ["prague_20071120.bufr", "temp_20081208.bufr"])
def test_the_nearest_is_that_of_all(authorities: Path, name: str) -> None:
    soundings, _ = read_bufr(authorities / name)
    for t_s in (1195500000.0, 1195530000.0, 1228700000.0):

        def cost(t: float, t_s: float = t_s) -> float:
            return abs(t - t_s)

        found = read_nearest_bufr(authorities / name, lambda spot, cost=cost: cost(spot.t_s))
        best = min(soundings, key=lambda one, cost=cost: cost(one.t_s))
        assert (found.sounding.t_s, found.sounding.origin) == (best.t_s, best.origin)


def test_a_nearer_report_without_air_is_passed_over(authorities: Path, written: Writer) -> None:
    data = bytearray((authorities / "prague_20071120.bufr").read_bytes())
    first = read_bufr(authorities / "prague_20071120.bufr")[0][0]
    end = data.index(b"7777")
    data[200:end] = b"\xff" * (end - 200)  # the levels of the first report: all missing
    path = written("broken.bufr", bytes(data))
    found = read_nearest_bufr(path, lambda spot: abs(spot.t_s - first.t_s))
    assert found.n_skipped == 1
    assert found.sounding.t_s != first.t_s
    with pytest.raises(SourceError, match="holds no BUFR message"):
        read_nearest_bufr(written("none.bufr", b"nothing here" * 10), lambda _: 0.0)


def test_a_message_larger_than_a_report_is_not_decoded(written: Writer) -> None:
    size = 1_000_004
    data = b"BUFR" + size.to_bytes(3, "big") + b"\x04" + bytes(size - 12) + b"7777"
    with pytest.raises(SourceError, match="holds 1000004 bytes; allowed: 1000000 at most"):
        read_bufr(written("huge.bufr", data))
