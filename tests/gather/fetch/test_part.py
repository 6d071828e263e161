"""One part: what must be in it to be kept."""

import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from bench.forecastserver.written import Area, Stamp, message

from farglide.errors import FetchError, Unfetched
from farglide.gather.fetch.part import Part, check_part

RUN_S = 1_800_684_000.0
PART = Part(
    name="f006.grib2", addresses=("http://a.example/f006",), indices=(), run_t_s=RUN_S, step_h=6,
    member="", pairs=(("HGT", 10.0), ("TMP", 10.0)),
)  # fmt: skip


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "f006.grib2"


def write(path: Path, *rows: tuple[str, float, Stamp]) -> None:
    area, values = Area(50.0, 10.0, 0.5), np.ones((2, 2))
    path.write_bytes(b"".join(message(field, hpa, values, area, at) for field, hpa, at in rows))


def test_a_part_with_all_that_is_wanted_is_kept(path: Path) -> None:
    at = Stamp(RUN_S, 6)
    write(path, ("HGT", 10.0, at), ("TMP", 10.0, at), ("RH", 10.0, at))
    check_part(PART, path, "http://a.example/f006")
    assert PART.valid_t_s == RUN_S + 21_600.0


@pytest.mark.parametrize(
    ("stamp", "told"),
    [
        (
            Stamp(RUN_S - 21_600.0, 6),
            "of the run 2027-01-23 00 UTC + 6 h, not of 2027-01-23 06 UTC",
        ),
        (Stamp(RUN_S, 7), "of the run 2027-01-23 06 UTC + 7 h, not of 2027-01-23 06 UTC + 6 h"),
    ],
)
def test_runs_and_hours_are_never_mixed(path: Path, stamp: Stamp, told: str) -> None:
    write(path, ("HGT", 10.0, Stamp(RUN_S, 6)), ("TMP", 10.0, stamp))
    with pytest.raises(FetchError, match=re.escape(told)) as caught:
        check_part(PART, path, "http://a.example/f006")
    assert caught.value.cause is Unfetched.WRONG


def test_a_part_that_lacks_fields_is_not_there_yet(path: Path) -> None:
    write(path, ("HGT", 10.0, Stamp(RUN_S, 6)))
    with pytest.raises(FetchError, match="lacks TMP at 10 hPa: it is half there") as caught:
        check_part(PART, path, "http://a.example/f006")
    assert caught.value.cause is Unfetched.NOT_THERE
    more = replace(PART, pairs=(*PART.pairs, ("TMP", 5.0)))
    with pytest.raises(FetchError, match="lacks TMP at 10 hPa and 1 field more"):
        check_part(more, path, "http://a.example/f006")


def test_a_damaged_part_is_told_by_its_address(path: Path) -> None:
    write(path, ("HGT", 10.0, Stamp(RUN_S, 6)))
    path.write_bytes(path.read_bytes()[:-1])
    with pytest.raises(
        FetchError, match=r"^http://a\.example/f006: sends a file that is not whole"
    ):
        check_part(PART, path, "http://a.example/f006")
