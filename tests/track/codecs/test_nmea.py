"""NMEA: sentences of one epoch become one fix, in any order, cut anywhere, in any chunk."""

from dataclasses import replace

import pytest

from farglide.track.codecs.nmea import NmeaCodec
from farglide.track.codecs.tally import Cause
from farglide.track.reports import Fix, HeightKind

from .feeding import NOON_T_S, raw, sentence, spec

GGA = "GPGGA,{},4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,"
RMC = "GNRMC,{},A,4807.038,N,01131.000,E,022.4,084.4,230127,003.1,W,A"
VTG = "GPVTG,084.4,T,,M,22.4,N,41.5,K,A"


def clock(after_s: int) -> str:
    return f"12{after_s // 60:02d}{after_s % 60:02d}.00"


def burst(after_s: int, *bodies: str) -> bytes:
    return b"".join(sentence(body.format(clock(after_s))) for body in bodies)


def fixes(codec: NmeaCodec, *bursts: bytes) -> list[Fix]:
    found = [one for i, data in enumerate(bursts) for one in codec.take(raw(data, float(i)))]
    found += codec.flush()
    assert all(isinstance(one, Fix) for one in found)
    return [one for one in found if isinstance(one, Fix)]


def test_one_epoch_is_one_fix_with_all_that_its_sentences_say() -> None:
    (fix,) = fixes(NmeaCodec(spec()), burst(0, GGA, RMC, VTG))
    assert (fix.feed, fix.t_s, fix.height_m, fix.separation_m) == ("glider", NOON_T_S, 545.4, 46.9)
    assert fix.lat_deg == pytest.approx(48 + 7.038 / 60, abs=1e-12)
    assert fix.lon_deg == pytest.approx(11 + 31.0 / 60, abs=1e-12)
    assert fix.speed_mps == pytest.approx(22.4 * 1852 / 3600)
    assert (fix.track_deg, fix.n_satellites) == (84.4, 8)
    assert fix.height_kind is HeightKind.SEA_LEVEL


@pytest.mark.parametrize("order", [(GGA, RMC, VTG), (RMC, VTG, GGA), (RMC, GGA)])
def test_every_epoch_is_told_once_whatever_the_order(order: tuple[str, ...]) -> None:
    codec = NmeaCodec(spec())
    found = fixes(codec, *(burst(i, *order) for i in range(60)))
    assert [one.t_s for one in found] == [NOON_T_S + i for i in range(60)]
    assert {one.height_m for one in found} == {545.4}
    assert all(one.speed_mps for one in found)
    assert codec.tally.n_reports == 60
    assert codec.tally.n_unread == 0


def test_from_the_third_epoch_on_a_fix_is_told_with_its_last_sentence() -> None:
    codec = NmeaCodec(spec())
    counts = [len(codec.take(raw(burst(i, GGA, RMC), float(i)))) for i in range(6)]
    assert counts == [0, 2, 1, 1, 1, 1]


def test_a_lost_sentence_holds_its_fix_for_an_epoch_and_no_longer() -> None:
    codec = NmeaCodec(spec())
    bursts = [burst(i, GGA, RMC) for i in range(6)]
    bursts[4] = burst(4, GGA)
    counts = [len(codec.take(raw(data, float(i)))) for i, data in enumerate(bursts)]
    assert counts == [0, 2, 1, 1, 0, 2]


@pytest.mark.parametrize("size", [1, 2, 7, 64, 1000])
def test_any_chunking_gives_the_same_fixes(size: int) -> None:
    data = b"".join(burst(i, GGA, RMC, VTG) for i in range(20))
    whole, cut = NmeaCodec(spec()), NmeaCodec(spec())
    pieces = [data[i : i + size] for i in range(0, len(data), size)]
    wanted = [*whole.take(raw(data)), *whole.flush()]
    found = [one for piece in pieces for one in cut.take(raw(piece))]
    assert found + cut.flush() == wanted
    assert len(wanted) == 20


def test_without_a_date_the_day_is_the_nearest_and_midnight_passes() -> None:
    late = GGA.format("235959.00"), GGA.format("000001.00")
    codec = NmeaCodec(spec())
    data = [raw(sentence(body), 43_199.0 + 2.0 * i) for i, body in enumerate(late)]
    found = [one for each in data for one in codec.take(each)] + codec.flush()
    assert [one.t_s - NOON_T_S for one in found] == [43_199.0, 43_201.0]


def test_a_date_once_said_holds_where_this_machine_is_days_off() -> None:
    codec = NmeaCodec(spec())
    bursts = [burst(0, RMC), *(burst(i, GGA) for i in range(1, 4))]
    came = [replace(raw(data, float(i)), utc_s=30 * 86_400.0) for i, data in enumerate(bursts)]
    found = [one for each in came for one in codec.take(each)]
    assert [one.t_s - NOON_T_S for one in found] == [0.0, 1.0, 2.0, 3.0]


def test_what_is_no_report_is_counted_by_cause() -> None:
    codec = NmeaCodec(spec())
    good = burst(0, GGA)
    data = [
        b"garbage\r\n", good.replace(b"545", b"546"), good[:40] + b"\r\n", sentence("GPTXT,01,01"),
        sentence("PXYZ,1,2"), sentence(GGA.format("120001").replace(",E,1,", ",E,0,")), good, good,
        burst(1, GGA).replace(b"*", b"\0*"), b"$GPGGA" + b"1" * 5000 + b"\r\n",
    ]  # fmt: skip
    for i, one in enumerate(data):
        codec.take(raw(one, float(i)))
    codec.flush()
    assert dict(codec.tally.causes) == {
        Cause.NO_LINE: 3, Cause.CHECKSUM: 1, Cause.HALF: 1, Cause.UNKNOWN: 2, Cause.NO_FIX: 1,
        Cause.STALE: 1,
    }  # fmt: skip
    assert codec.tally.n_reports == 1


def test_a_clock_that_was_set_back_by_an_hour_is_no_stale_one() -> None:
    codec = NmeaCodec(spec())
    found = fixes(codec, burst(0, GGA), sentence(GGA.format("110000.00")))
    assert [one.t_s - NOON_T_S for one in found] == [0.0, -3600.0]


def test_heights_count_from_where_the_flight_file_says() -> None:
    (fix,) = fixes(NmeaCodec(spec(height="ellipsoid")), burst(0, GGA))
    assert fix.height_kind is HeightKind.ELLIPSOID


def test_out_of_range_ends_the_epoch_and_not_the_feed() -> None:
    codec = NmeaCodec(spec())
    high = GGA.replace("545.4", "545000.4")
    found = fixes(codec, burst(0, high), burst(1, GGA), burst(2, GGA))
    assert len(found) == 2
    assert codec.tally.causes[Cause.RANGE] == 1


def test_a_datagram_ends_its_line() -> None:
    codec = NmeaCodec(spec(where="udp://:5005"))
    codec.take(raw(burst(0, GGA).rstrip()))
    codec.take(raw(burst(1, GGA).rstrip(), 1.0))
    assert codec.tally.n_pieces == 2


def test_a_line_cut_over_two_datagrams_is_one() -> None:
    codec, data = NmeaCodec(spec(where="udp://:5005")), burst(0, GGA)
    codec.take(raw(data[:30]))
    codec.take(raw(data[30:]))
    assert (codec.tally.n_pieces, codec.tally.n_unread) == (1, 0)


def test_without_checksums_where_the_flight_file_says_so() -> None:
    bare = burst(0, GGA).partition(b"*")[0] + b"\r\n"
    assert fixes(NmeaCodec(spec()), bare) == []
    assert len(fixes(NmeaCodec(spec(has_checksum=False)), bare)) == 1
