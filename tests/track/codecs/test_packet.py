"""Packet: reports of one sender, against aprslib's readings of made and damaged ones."""

import pytest

from farglide.errors import InputError
from farglide.track.codecs.packet import PacketCodec, position_of
from farglide.track.codecs.tally import Cause, UnreadError
from farglide.track.reports import Fix, Heard

from .feeding import NOON_T_S, raw, rows, sentence, spec
from .framing import frame, kissed

ROWS = rows("packet")  # source: aprslib 0.7.2, by scripts/make_feed_tables.py
PLACE = b"4903.50N/07201.75WO088/036/A=001234"


def agrees(row: dict) -> None:  # type: ignore[type-arg]
    said, _ = position_of(row["to"], bytes.fromhex(row["hex"]), NOON_T_S)
    read = row["read"]
    assert said.lat_deg == pytest.approx(read["latitude"], abs=1e-7)
    assert said.lon_deg == pytest.approx(read["longitude"], abs=1e-7)
    if "altitude" in read:
        assert said.height_m == pytest.approx(read["altitude"], abs=1e-6)
    if 0 < read.get("course", 0) <= 360:  # that library also hands on 391 degrees
        assert said.track_deg == pytest.approx(read["course"])
        assert said.speed_mps == pytest.approx(read["speed"] / 3.6, abs=1e-6)


@pytest.mark.parametrize("row", [row for row in ROWS[:160] if "fault" not in row])
def test_whole_reports_are_read_as_by_a_general_library(row: dict) -> None:  # type: ignore[type-arg]
    agrees(row)


def test_nearly_all_made_reports_were_read_by_that_library() -> None:
    assert sum("fault" not in row for row in ROWS[:160]) > 150


def test_damaged_reports_are_refused_or_read_as_by_a_general_library() -> None:
    refused = same = 0
    for row in ROWS[160:]:
        try:
            position_of(row["to"], bytes.fromhex(row["hex"]), NOON_T_S)
        except (UnreadError, InputError):
            refused += 1
            continue
        if "fault" not in row:
            same += 1
            agrees(row)
    assert (refused > 50, same > 150) == (True, True)


def codec() -> PacketCodec:
    return PacketCodec(spec("packet", "tcp://127.0.0.1:8001", sender="n0call-11"))


def test_a_report_is_a_fix_of_its_own_time() -> None:
    words = b"/115958h" + PLACE
    (fix,) = codec().take(raw(kissed(frame("N0CALL-11", "APZ001", words))))
    assert isinstance(fix, Fix)
    assert fix.t_s == NOON_T_S - 2.0
    assert (fix.lat_deg, fix.lon_deg) == (pytest.approx(49.0583333), pytest.approx(-72.0291667))
    assert fix.height_m == pytest.approx(376.1232)
    assert (fix.track_deg, fix.speed_mps) == (88.0, pytest.approx(36 * 1852 / 3600))


@pytest.mark.parametrize(
    ("stamp", "after_s"),
    [(b"231159z", -60.0), (b"221200z", -86_400.0), (b"231201/", None)],
)
def test_stamps_of_day_and_month(stamp: bytes, after_s: float | None) -> None:
    _, t_s = position_of("APZ001", b"@" + stamp + PLACE, NOON_T_S)
    assert t_s == (None if after_s is None else NOON_T_S + after_s)


def test_a_sentence_sent_as_it_is() -> None:
    words = sentence("GPGGA,115959.00,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,").rstrip()
    said, t_s = position_of("APZ001", words, NOON_T_S)
    assert (said.height_m, t_s) == (545.4, NOON_T_S - 1.0)
    assert said.lat_deg == pytest.approx(48 + 7.038 / 60)


@pytest.mark.parametrize(
    ("body", "cause"),
    [
        ("GPGSV,1,1,00", Cause.UNKNOWN),
        ("GPVTG,084.4,T,,M,22.4,N,41.5,K,A", Cause.UNKNOWN),
        ("GPZDA,120000,23,01,2027,00,00", Cause.UNKNOWN),
        ("GPGLL,4807.038,N,01131.000,E,115959.00,V", Cause.NO_FIX),
    ],
)
def test_a_sentence_without_a_position_says_why(body: str, cause: Cause) -> None:
    with pytest.raises(UnreadError, match=cause.value):
        position_of("APZ001", sentence(body), NOON_T_S)


def test_others_on_the_frequency_are_counted_and_not_taken() -> None:
    one = codec()
    assert one.take(raw(kissed(frame("N0CALL-9", "APZ001", b"!" + PLACE)))) == []
    assert one.tally.causes == {Cause.OTHER: 1}
    assert one.last.startswith(b"N0CALL-9>APZ001: !4903")


def test_other_words_of_its_sender_say_that_it_is_heard() -> None:
    one = codec()
    data = [b">still climbing", b"", b"!", b"/xx", b"!9903.50N/07201.75WO", b"/99:9999" + PLACE]
    found = [
        each for words in data for each in one.take(raw(kissed(frame("N0CALL-11", "A", words))))
    ]
    assert found == [Heard(feed="glider")] * len(data)
    assert one.tally.causes == {Cause.UNKNOWN: 1, Cause.HALF: 3, Cause.RANGE: 2}


def test_a_report_told_twice_by_a_repeater_is_stale() -> None:
    one = codec()
    data = kissed(frame("N0CALL-11", "APZ001", b"/115958h" + PLACE))
    assert [type(each) for each in one.take(raw(data + data))] == [Fix, Heard]
    assert one.tally.causes == {Cause.STALE: 1}
