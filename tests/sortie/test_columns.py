"""Columns: what a flight file may say of the columns of a feed."""

import pytest

from farglide.errors import ContradictionError, InputError
from farglide.sortie.columns import MEANINGS, columns_of


def test_numbers_and_paths_are_taken_with_their_units() -> None:
    lat, lon, height = columns_of(["2 = lat_e7_deg", "3=lon_deg", "12=height_ft"], "csv")
    assert (lat.at, lat.meaning.key, lat.meaning.unit_si) == ("2", "lat_deg", 1e-7)
    assert (lon.at, height.meaning.unit_si) == ("3", pytest.approx(0.3048))
    assert columns_of(["a.b_c.d-e=lat_deg", "x=lon_deg"], "json")[0].at == "a.b_c.d-e"


@pytest.mark.parametrize(
    ("text", "form"),
    [("lat_deg", "csv"), ("0=lat_deg", "csv"), ("100=lat_deg", "csv"), ("lat=lat_deg", "csv"),
     ("2=lat_deg", "json"), ("a..b=lat_deg", "json"), ("=lat_deg", "json")],
)  # fmt: skip
def test_a_column_that_is_nowhere_is_refused(text: str, form: str) -> None:
    with pytest.raises(InputError, match=r"columns is .*; allowed: .*lat_deg"):
        columns_of([text], form)


def test_a_meaning_that_is_none_is_refused_with_all_that_are() -> None:
    with pytest.raises(InputError, match="height_m") as refused:
        columns_of(["2=alt"], "csv")
    assert all(name in str(refused.value) for name in MEANINGS)


def test_one_quantity_stands_once() -> None:
    stated = ["1=lat_deg", "2=lat_e7_deg", "3=lon_deg", "4=time_iso", "5=time_unix_s"]
    with pytest.raises(ContradictionError, match="state lat_deg and t_s twice"):
        columns_of(stated, "csv")


@pytest.mark.parametrize("stated", [["1=lat_deg"], ["1=lon_deg", "2=strength_dbm"], ["1=height_m"]])
def test_a_latitude_needs_a_longitude(stated: list[str]) -> None:
    with pytest.raises(ContradictionError, match="no latitude with a longitude"):
        columns_of(stated, "csv")


def test_a_strength_may_stand_alone() -> None:
    assert columns_of(["4=strength_dbm"], "csv")[0].meaning.key == "strength_dbm"
