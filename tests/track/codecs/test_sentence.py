"""Sentences: framing and checksum, against pynmea2's readings of made and damaged ones."""

from collections import Counter
from functools import reduce
from operator import xor

import pytest

from farglide.track.codecs.epoch import KINDS, Epoch, day_s_of
from farglide.track.codecs.sentence import checksum, fields_of, latitude_deg, longitude_deg
from farglide.track.codecs.tally import Cause, UnreadError
from farglide.units import KNOT_MPS

from .feeding import rows

ROWS = rows("nmea")  # source: pynmea2 1.19.0, by scripts/make_feed_tables.py
OF_EPOCH = {
    "altitude": ("height_m", 1.0),
    "geo_sep": ("separation_m", 1.0),
    "latitude": ("lat_deg", 1.0),
    "longitude": ("lon_deg", 1.0),
    "num_sats": ("n_satellites", 1.0),
    "spd_over_grnd": ("speed_mps", KNOT_MPS),
    "spd_over_grnd_kts": ("speed_mps", KNOT_MPS),
    "true_course": ("track_deg", 1.0),
    "true_track": ("track_deg", 1.0),
}


def read(line: bytes) -> Epoch:
    epoch, fields = Epoch(), fields_of(line)
    kind = KINDS[fields[0][-3:]]
    epoch.day_s = day_s_of(fields, kind)
    kind.read(fields, epoch)
    return epoch


def agrees(epoch: Epoch, said: dict[str, float]) -> None:
    for name, (ours, scale) in OF_EPOCH.items():
        if name in said:
            assert getattr(epoch, ours) == pytest.approx(said[name] * scale, abs=1e-9), name
    if said.get("clock_s") is not None:
        assert epoch.day_s == pytest.approx(said["clock_s"], abs=1e-6)


@pytest.mark.parametrize("row", ROWS[:240], ids=lambda row: row["kind"])
def test_whole_sentences_are_read_as_by_a_general_library(row: dict) -> None:  # type: ignore[type-arg]
    agrees(read(bytes.fromhex(row["hex"])), row["read"])


def test_damaged_sentences_are_refused_or_read_as_by_a_general_library() -> None:
    causes, same = Counter[str](), 0
    for row in ROWS[240:]:
        line = bytes.fromhex(row["hex"])
        try:
            found = read(line)
        except (UnreadError, KeyError) as error:
            causes[f"{row.get('fault')}: {getattr(error, 'cause', 'unknown kind')}"] += 1
            continue
        if line.count(b"$") > 1:  # the library takes no line that another ran into
            continue
        assert "fault" not in row, line
        same += 1
        agrees(found, row["read"])
    assert same > 40
    assert {one for one in causes if one.startswith("checksum")} <= {
        "checksum: wrong checksum", "checksum: half line", "checksum: not a line",
    }  # fmt: skip


@pytest.mark.parametrize("n", [0, 1, 2, 3, 7, 64, 65, 127, 128, 300, 4096])
def test_folding_is_the_exclusive_or_of_all_bytes(n: int) -> None:
    data = bytes((31 * i + 7) % 256 for i in range(n))
    assert checksum(data) == reduce(xor, data, 0)


@pytest.mark.parametrize(
    ("line", "cause"),
    [
        (b"hello", Cause.NO_LINE),
        (b"4916.45,N,12311.12,W,225444,A*31", Cause.HALF),
        (b"$GPGLL,4916.45,N,12311.12,W,225444,A*", Cause.HALF),
        (b"$GPGLL,4916.45,N,12311.12,W,2254", Cause.HALF),
        (b"$GPGLL,4916.45,N,12311.12,W,225444,A*30", Cause.CHECKSUM),
        (b"$GPGLL,4916.45,N,12311.12,W,225444,A*311", Cause.CHECKSUM),
        (b"$*00", Cause.NO_LINE),
        (b"$\xff\xfe,1*%02X" % checksum(b"\xff\xfe,1"), Cause.NO_LINE),
    ],
)
def test_what_is_no_sentence_says_why(line: bytes, cause: Cause) -> None:
    with pytest.raises(UnreadError, match=cause.value):
        fields_of(line)


def test_a_line_that_the_next_ran_into_leaves_the_whole_one() -> None:
    half = b"$GPGLL,4916.45,N,12$GPGLL,4916.45,N,12311.12,W,225444,A*31"
    assert fields_of(half)[1] == b"4916.45"


def test_without_checksums_a_line_is_taken_and_one_that_has_one_is_checked() -> None:
    assert fields_of(b"$GPGLL,1,2", has_checksum=False) == [b"GPGLL", b"1", b"2"]
    with pytest.raises(UnreadError, match="wrong checksum"):
        fields_of(b"$GPGLL,1,2*00", has_checksum=False)


@pytest.mark.parametrize(
    ("value", "side"),
    [(b"4960.0", b"N"), (b"491.0", b"N"), (b"4916.45", b"E"), (b"-4916.45", b"N"), (b"", b"N")],
)
def test_latitudes_that_are_none_are_out_of_range(value: bytes, side: bytes) -> None:
    with pytest.raises(UnreadError, match="out of range"):
        latitude_deg(value, side)
    with pytest.raises(UnreadError, match="out of range"):
        longitude_deg(value, side)
