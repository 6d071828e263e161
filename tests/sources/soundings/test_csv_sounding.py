"""CSV soundings: units, places, order, what is filled in, and every refusal."""

from collections.abc import Callable, Sequence
from pathlib import Path

import netCDF4
import numpy as np
import pytest

from farglide.earth.heights import geopotential_at_m
from farglide.earth.state import Place
from farglide.errors import SourceError
from farglide.sources.soundings.csv_sounding import read_csv_sounding

Writer = Callable[[str, str | bytes], Path]

HEAD = """# lat_deg: 50.5
# lon_deg: 8.25
# time: 2027-01-23T09:40:00Z
# origin: made-up sounding
"""
# Heights and pressures of the standard atmosphere: ISO 2533:1975, tables 5 to 7.
ROWS = [
    (0, 1013.25, 288.15, 80, 270, 10.0),
    (2000, 794.952, 275.15, 60, 180, 20.0),
    (5000, 540.199, 255.65, 40, 90, 30.0),
    (11000, 226.320, 216.65, 10, 0, 40.0),
    (20000, 54.7487, 216.65, 5, 360, 20.0),
]
GAPS = "no wind reported from 5.0 to 11.0 km, 11.0 to 20.0 km: interpolated there"
NAMES = "gph_m,p_hpa,t_k,rh_percent,wind_from_deg,wind_mps"


def table(rows: Sequence[Sequence[object]] = ROWS, names: str = NAMES, head: str = HEAD) -> str:
    lines = [",".join(str(cell) for cell in row) for row in rows]
    return head + names + "\n" + "\n".join(lines) + "\n"


def columns(names: str, *keep: int) -> str:
    """Return the table with these columns of ROWS under other names."""
    return table([tuple(row[k] for k in keep) for row in ROWS], names)


def test_values_place_and_time_are_as_written(written: Writer) -> None:
    sounding = read_csv_sounding(written("a.csv", table()), None)
    assert sounding.gph_m.tolist() == [0, 2000, 5000, 11000, 20000]
    np.testing.assert_allclose(sounding.p_pa, [101325, 79495.2, 54019.9, 22632.0, 5474.87])
    assert sounding.t_k.tolist() == [288.15, 275.15, 255.65, 216.65, 216.65]
    np.testing.assert_allclose(sounding.relative_humidity_ratio, [0.8, 0.6, 0.4, 0.1, 0.05])
    assert (sounding.lat_deg, sounding.lon_deg) == (50.5, 8.25)
    assert sounding.t_s == 1800697200.0  # 2027-01-23 09:40 UTC
    assert sounding.origin == "made-up sounding"
    assert sounding.notes == (GAPS,)
    assert sounding.elapsed_s is None


def test_wind_from_the_west_blows_to_the_east(written: Writer) -> None:
    sounding = read_csv_sounding(written("a.csv", table()), None)
    # By definition: from 270 to the east, from 180 to the north, from 90 to the west.
    np.testing.assert_allclose(sounding.u_mps, [10, 0, -30, 0, 0], atol=1e-12)
    np.testing.assert_allclose(sounding.v_mps, [0, 20, 0, -40, -20], atol=1e-12)


def test_other_units_give_the_same_air(written: Writer) -> None:
    plain = read_csv_sounding(written("a.csv", table()), None)
    rows = [
        (h, 100 * p, t - 273.15, rh / 100, d, w * 3600 / 1852) for h, p, t, rh, d, w in ROWS
    ]  # a knot is 1852 m/h, by definition
    names = "gph_m,p_pa,t_c,rh_ratio,wind_from_deg,wind_kt"
    other = read_csv_sounding(written("b.csv", table(rows, names)), None)
    for name in ("gph_m", "p_pa", "t_k", "relative_humidity_ratio", "u_mps", "v_mps"):
        np.testing.assert_allclose(getattr(other, name), getattr(plain, name), atol=1e-9)


def test_wind_by_components(written: Writer) -> None:
    text = "gph_m,p_hpa,t_k,u_mps,v_mps\n0,1013,288,1,-2\n5000,540,256,3,4\n9000,307,230,5,6\n"
    sounding = read_csv_sounding(written("a.csv", text), None)
    assert sounding.u_mps.tolist() == [1, 3, 5]
    assert sounding.v_mps.tolist() == [-2, 4, 6]
    assert np.isnan([sounding.lat_deg, sounding.lon_deg, sounding.t_s]).all()
    assert np.isnan(sounding.relative_humidity_ratio).all()


def test_geometric_heights_become_geopotential_at_the_latitude(written: Writer) -> None:
    text = table(names=NAMES.replace("gph_m", "amsl_m"))
    sounding = read_csv_sounding(written("a.csv", text), None)
    assert sounding.gph_m[-1] == pytest.approx(geopotential_at_m(20000.0, 50.5))
    place = Place(lat_deg=0.0, lon_deg=0.0, amsl_m=0.0)
    without = written("b.csv", text.replace("# lat_deg: 50.5\n", ""))
    assert read_csv_sounding(without, place).gph_m[-1] == pytest.approx(
        geopotential_at_m(20000.0, 0.0)
    )
    nowhere = read_csv_sounding(without, None)
    assert nowhere.gph_m[-1] == pytest.approx(geopotential_at_m(20000.0, 45.0))
    assert any("45 degrees" in note for note in nowhere.notes)


def test_missing_pressure_is_hydrostatic_from_sea_level(written: Writer) -> None:
    text = columns("gph_m,t_k,wind_from_deg,wind_mps", 0, 2, 4, 5)
    sounding = read_csv_sounding(written("a.csv", text), None)
    # ISO 2533:1975, tables 5 to 7; the layers are linear in temperature, so the law is exact.
    np.testing.assert_allclose(
        sounding.p_pa, [101325, 79495.2, 54019.9, 22632.0, 5474.87], rtol=2e-5
    )
    assert any("no pressure given" in note for note in sounding.notes)


def test_heights_in_feet_without_pressures_are_pointed_out(written: Writer) -> None:
    # the standard 6.5 K/km, taken for metres 2.0
    names = "gph_m,t_k,wind_from_deg,wind_mps"
    right = [(h, 288.15 - 0.0065 * h, 270, 10) for h in range(0, 11_001, 1000)]
    feet = [(round(row[0] / 0.3048), *row[1:]) for row in right]
    notes = read_csv_sounding(written("a.csv", table(feet, names)), None).notes
    assert any("cools by only 2.0 K/km up to 6562 m: are the heights feet?" in n for n in notes)
    notes = read_csv_sounding(written("b.csv", table(right, names)), None).notes
    assert not any("feet" in note for note in notes)


def test_missing_temperature_is_the_standard_one(written: Writer) -> None:
    text = columns("gph_m,p_hpa,wind_from_deg,wind_mps", 0, 1, 4, 5)
    sounding = read_csv_sounding(written("a.csv", text), None)
    # ISO 2533:1975, table 5.
    np.testing.assert_allclose(sounding.t_k, [288.15, 275.15, 255.65, 216.65, 216.65])
    assert any("standard atmosphere" in note for note in sounding.notes)


def test_heights_and_winds_alone_are_enough(written: Writer) -> None:
    sounding = read_csv_sounding(
        written("a.csv", columns("gph_m,wind_from_deg,wind_mps", 0, 4, 5)), None
    )
    np.testing.assert_allclose(sounding.p_pa[-2:], [22632.0, 5474.87], rtol=2e-5)
    assert len(sounding.notes) == 3


def test_lines_in_any_order_give_the_same_air(written: Writer) -> None:
    shuffled = read_csv_sounding(written("a.csv", table([ROWS[k] for k in (3, 0, 4, 2, 1)])), None)
    downward = read_csv_sounding(written("b.csv", table(ROWS[::-1])), None)
    assert shuffled.gph_m.tolist() == downward.gph_m.tolist() == [0, 2000, 5000, 11000, 20000]
    assert shuffled.notes == ("lines were not in order of height: sorted", GAPS)
    assert downward.notes == (GAPS,)


def test_level_given_twice_is_merged(written: Writer) -> None:
    sounding = read_csv_sounding(written("a.csv", table([*ROWS, ROWS[2]])), None)
    assert len(sounding.gph_m) == 5
    assert any("same gph_m merged" in note for note in sounding.notes)


def test_level_given_twice_with_other_wind_is_refused(written: Writer) -> None:
    path = written("a.csv", table([*ROWS, (5000, 540.199, 255.65, 40, 90, 12.0)]))
    with pytest.raises(
        SourceError, match=r"lines 8, 11: give u_mps -30 and -12 for the same gph_m"
    ):
        read_csv_sounding(path, None)


def test_fill_values_are_missing_values(written: Writer) -> None:
    rows = list(ROWS)
    rows[1] = (2000, 794.952, -9999, 999, 180, 20.0)
    rows[2] = (5000, 540.199, 255.65, 40, 999999, -999)
    sounding = read_csv_sounding(written("a.csv", table(rows)), None)
    # Linear in the logarithm of pressure between the neighbours.
    t_share = np.log(1013.25 / 794.952) / np.log(1013.25 / 540.199)
    assert sounding.t_k[1] == pytest.approx(288.15 + t_share * (255.65 - 288.15))
    v_share = np.log(794.952 / 540.199) / np.log(794.952 / 226.320)
    assert sounding.v_mps[2] == pytest.approx(20.0 + v_share * (-40.0 - 20.0))
    assert sum("1 fill value like" in note for note in sounding.notes) == 4
    assert "1 wind interpolated between reported ones" in sounding.notes
    assert "1 temperature interpolated between reported ones" in sounding.notes


def test_9999_is_a_height_and_a_pressure_but_no_wind(written: Writer) -> None:
    text = "gph_m,p_pa,t_k,u_mps,v_mps\n0,101325,288,1,1\n9999,26440,223,2,2\n16216,9999,217,3,3\n"
    sounding = read_csv_sounding(written("a.csv", text), None)
    assert sounding.gph_m[1] == 9999.0
    assert sounding.p_pa[2] == 9999.0


def test_known_three_levels_give_the_wind_between(written: Writer) -> None:
    lines = [
        "0,1000,288,0,0",
        "5574,500,252,,",
        "16180,100,217,23.026,-2.3026",
        "18000,75,217,25,-3",
    ]
    path = written("a.csv", "\n".join(["gph_m,p_hpa,t_k,u_mps,v_mps", *lines]))
    sounding = read_csv_sounding(path, None)
    # ln(1000/500) / ln(1000/100) = 0.30103 of the way.
    assert sounding.u_mps[1] == pytest.approx(23.026 * 0.30103, abs=0.01)
    assert sounding.v_mps[1] == pytest.approx(-2.3026 * 0.30103, abs=0.01)


def test_wide_gap_without_wind_is_noted(written: Writer) -> None:
    rows = list(ROWS)
    rows[2] = (5000, 540.199, 255.65, 40, "", "")
    sounding = read_csv_sounding(written("a.csv", table(rows)), None)
    assert any("no wind reported from 2.0 to 11.0 km" in note for note in sounding.notes)


def test_ends_without_wind_are_left_out(written: Writer) -> None:
    rows = [(*ROWS[0][:4], "", ""), *ROWS[1:]]
    sounding = read_csv_sounding(written("a.csv", table(rows)), None)
    assert sounding.gph_m[0] == 2000.0
    assert any("1 line left out, beyond the ends" in note for note in sounding.notes)


def test_records_after_burst_are_left_out(written: Writer) -> None:
    rows = [(*row, 400.0 * k) for k, row in enumerate(ROWS)]
    falling = [
        (11000, 226.32, 216.65, 10, 50, 9.0, 1700.0),
        (2000, 795, 275.1, 60, 40, 9.0, 1800.0),
    ]
    path = written("a.csv", table([*rows, *falling], NAMES + ",elapsed_s"))
    sounding = read_csv_sounding(path, None)
    assert sounding.gph_m.tolist() == [0, 2000, 5000, 11000, 20000]
    assert sounding.elapsed_s is not None
    assert sounding.elapsed_s.tolist() == [0, 400, 800, 1200, 1600]
    assert "2 lines after the highest point left out" in sounding.notes


def test_semicolons_with_decimal_commas_and_latin_1(written: Writer) -> None:
    body = table(head="").replace(",", ";").replace(".", ",")
    text = HEAD.replace("50.5", "50.5°") + body
    sounding = read_csv_sounding(written("a.csv", text.encode("latin-1")), None)
    assert sounding.p_pa[1] == pytest.approx(79495.2)
    assert sounding.lat_deg == 50.5


def test_byte_order_mark_and_unused_columns(written: Writer) -> None:
    text = table([(*row, "x") for row in ROWS], NAMES + ",station")
    sounding = read_csv_sounding(written("a.csv", b"\xef\xbb\xbf" + text.encode()), None)
    assert sounding.lat_deg == 50.5
    assert sounding.notes == ("columns not used: 'station'", GAPS)


REFUSED = {
    "near miss": (
        table(names=NAMES.replace("wind_from_deg", "wind_form_deg")),
        "line 5.*Did you mean 'wind_from_deg'",
    ),
    "a column in feet": (
        table(names=NAMES.replace("gph_m", "gph_ft")),
        "'gph_ft'.*Multiply its values by 0.3048 and call it 'gph_m'",
    ),
    "kilometres an hour": (
        table(names=NAMES.replace("wind_mps", "wind_kmh")),
        "'wind_kmh'.*Multiply its values by 0.277778 and call it 'wind_mps'",
    ),
    "two speeds": (
        table([(*r, 1) for r in ROWS], NAMES + ",wind_kt"),
        "both wind_mps and wind_kt",
    ),
    "capitals": (table(names=NAMES.replace("t_k", "T_K")), "Did you mean 't_k'"),
    "no height": (
        columns("p_hpa,t_k,wind_from_deg,wind_mps", 1, 2, 4, 5),
        "no column gph_m or amsl_m",
    ),
    "two temperatures": (table([(*r, 10) for r in ROWS], NAMES + ",t_c"), "both t_k and t_c"),
    "same column twice": (table([(*r, 10) for r in ROWS], NAMES + ",t_k"), "2 columns 't_k'"),
    "half a wind": (columns("gph_m,p_hpa,t_k,wind_mps", 0, 1, 2, 5), "gives the wind as wind_mps"),
    "two winds": (table([(*r, 1, 1) for r in ROWS], NAMES + ",u_mps,v_mps"), "gives the wind as"),
    "pascals as hPa": (
        table([(h, p * 100, *r) for h, p, *r in ROWS]),
        r"p_hpa is 101325 \(and 4 more\).*p_pa",
    ),
    "hPa as pascals": (columns("gph_m,p_pa,wind_from_deg,wind_mps", 0, 1, 4, 5), "in hectopascals"),
    "Celsius as kelvin": (
        table([(h, p, t - 273.15, *r) for h, p, t, *r in ROWS]),
        r"line 6: t_k is 15.*t_c",
    ),
    "kelvin as Celsius": (table(names=NAMES.replace("t_k", "t_c")), r"line 6: t_c is 288.15.*t_k"),
    "ratio as percent": (table([(*r[:3], r[3] / 100, *r[4:]) for r in ROWS]), "is it a ratio"),
    "percent as ratio": (
        table(names=NAMES.replace("percent", "ratio")),
        "rh_ratio is 80.*rh_percent",
    ),
    "radians": (table([(*r[:4], np.radians(r[4]), r[5]) for r in ROWS]), "directions in radians"),
    "direction beyond 360": (
        table([(*ROWS[0][:4], 361, 5), *ROWS[1:]]),
        "wind_from_deg is 361.*0 to 360",
    ),
    "negative speed": (table([(*ROWS[0][:5], -5), *ROWS[1:]]), "wind_mps is -5"),
    "word for number": (table([(*ROWS[0][:5], "fast"), *ROWS[1:]]), "line 6: wind_mps is 'fast'"),
    "infinite": (table([(*ROWS[0][:5], "inf"), *ROWS[1:]]), "line 6: wind_mps is 'inf'"),
    "short line": (
        table() + "25000,25\n",
        "line 11: has 2 cells; the line of names has 6.*cut short",
    ),
    "pressure rises": (table([*ROWS, (6000, 600, 250, 40, 90, 30)]), "pressure rises with height"),
    "feet": (table([(h * 3.2808, *r) for h, *r in ROWS]), "metres, not feet"),
    "two levels": (table(ROWS[:2]), "2 lines of values; allowed: 3 or more"),
    "no heights": (table([("", *r) for _, *r in ROWS]), "0 lines with a height"),
    "no winds": (table([(*r[:4], "", "") for r in ROWS]), "wind is reported at 0 of 5"),
    "latitude": (table(head="# lat_deg: 95\n"), "lat_deg is '95'; allowed: -90 to 90 degrees"),
    "longitude": (table(head="# lon_deg: east\n"), "lon_deg is 'east'"),
    "local time": (
        table(head="# time: 2027-01-23 09:40\n"),
        "line 1: time is '2027-01-23 09:40'.*UTC",
    ),
    "no such day": (table(head="# time: 2027-02-30T09:40:00Z\n"), "no such time"),
    "only remarks": (HEAD, "0 lines of values"),
    "too high for standard": (
        "gph_m,u_mps,v_mps\n0,1,1\n1000,1,1\n89000,1,1\n",
        "gph_m is 89000.0 m",
    ),
}


@pytest.mark.parametrize("case", REFUSED)
def test_what_cannot_be_flown_is_refused_with_a_reason(case: str, written: Writer) -> None:
    text, reason = REFUSED[case]
    path = written("wrong.csv", text)
    with pytest.raises(SourceError, match=reason) as caught:
        read_csv_sounding(path, None)
    assert caught.value.path == str(path)
    assert "wrong.csv" in str(caught.value)


def test_a_cell_too_long_for_a_table_is_refused(written: Writer) -> None:
    path = written("a.csv", table() + "1" * 200_000 + ",1,1,1,1,1\n")
    with pytest.raises(SourceError, match="is not CSV") as caught:
        read_csv_sounding(path, None)
    assert caught.value.where == "line 11"


def test_a_real_flight_written_without_its_times_is_read_whole(
    authorities: Path, written: Writer
) -> None:
    # every 2 s and to 0.1 hPa: from 20 km up the pressure stands still or steps back
    with netCDF4.Dataset(authorities / "darwin_20060119_231600.cdf") as data:
        names = ("alt", "pres", "tdry", "u_wind", "v_wind")
        rows = np.column_stack([np.ma.filled(data[name][:], np.nan) for name in names])
    rows = rows[(np.abs(rows[:, 1:]) < 9000.0).all(axis=1)]
    rows = rows[: int(np.argmax(rows[:, 0])) + 1]
    lines = [",".join(f"{cell:.1f}" for cell in row) for row in rows]
    path = written("flight.csv", "\n".join(["amsl_m,p_hpa,t_c,u_mps,v_mps", *lines]))
    sounding = read_csv_sounding(path, None)
    assert len(sounding.p_pa) > 0.99 * len(rows)
    assert (np.diff(sounding.p_pa) <= 0.0).all()


def test_more_lines_or_columns_than_a_sounding_has_are_refused(written: Writer) -> None:
    lines = "gph_m,u_mps,v_mps\n" + "1,2,3\n" * 100_002
    with pytest.raises(SourceError, match="has 100003 lines of values; allowed: up to 100000"):
        read_csv_sounding(written("long.csv", lines), None)
    wide = "gph_m,u_mps,v_mps" + ",a" * 200 + "\n1\n2\n3\n"
    with pytest.raises(SourceError, match="names 203 columns; allowed: up to 200"):
        read_csv_sounding(written("wide.csv", wide), None)
