"""farglide feeds: what is plugged in and what each feed says, as it is read in a terminal."""

import time
from dataclasses import replace
from pathlib import Path

import pytest

from farglide.cli import feeds
from farglide.cli.feeds import WIDE, feed_lines, feeds_text, with_changes
from farglide.cli.plan import DEMO
from farglide.errors import InputError
from farglide.live.feeds.listening import FeedHeard
from farglide.live.feeds.reader import Clocks, Condition, State
from farglide.sortie.feeds import FeedSpec, where_of
from farglide.track.codecs.codecs import codec_of
from farglide.track.codecs.sentence import checksum
from farglide.track.reports import Heard, Raw

NOON_T_S = 1_800_705_600.0  # 2027-01-23T12:00:00Z
CLOCKS = Clocks(time.monotonic, lambda: NOON_T_S)
GGA = b"GPGGA,115901.00,4630.12345,S,10745.54321,E,1,09,0.9,236.4,M,-12.5,M,,"


def line(body: bytes) -> bytes:
    return b"$%s*%02X\r\n" % (body, checksum(body))


@pytest.fixture(autouse=True)
def ports(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    found = ["/dev/ttyUSB0 (USB receiver)"]
    monkeypatch.setattr(feeds, "serial_ports", lambda: found)
    return found


@pytest.fixture
def flight(tmp_path: Path) -> Path:
    """Return the demo with two feeds out of files beside it."""
    (tmp_path / "tracker.txt").write_bytes(line(GGA) * 2 + b"\x1b[2Jnoise\r\n")
    (tmp_path / "car.bin").write_bytes(b"\x80\x81\x82" * 40 + b"\n" + b"\xff" * 30 + b"\n")
    text = DEMO.read_text(encoding="utf-8")
    text += '\n[[feeds]]\nname = "tracker"\nfrom = "file:tracker.txt"\nstops_above_m = 18000\n'
    text += '\n[[feeds]]\nname = "car receiver"\nof = "car"\nfrom = "file:car.bin"\n'
    file = tmp_path / "flight.toml"
    file.write_text(text, encoding="utf-8")
    return file


def test_each_feed_is_told_with_its_last_words_and_place(flight: Path) -> None:
    text = feeds_text(flight, [], 20.0, CLOCKS)
    assert "Serial ports of this machine\n  /dev/ttyUSB0 (USB receiver)\n" in text
    one = text.partition("tracker, glider: ")[2].partition("\n\n")[0]
    assert one.startswith("heard, read to its end\n")
    assert "tracker.txt, NMEA 0183" in " ".join(one.split())
    assert "  last: ·[2Jnoise" in one
    assert "  at -46.50206, 107.75905, 236 m above sea level, 0." in one
    assert "59 s behind ours" in one
    assert "  odd: The clock of tracker is 59 s behind ours. Hold both against" in one
    assert "  stops above 18000 m" in one
    assert "  3 lines, 1 reports, 1 not a line" in one
    assert "car receiver, car: garbage: is it the right format, at the right speed?" in text
    assert all(len(each) <= WIDE for each in text.splitlines())
    assert all(each.isprintable() for each in text.splitlines())


def test_a_feed_may_be_read_from_elsewhere_and_a_new_one_named(flight: Path) -> None:
    specs = with_changes(
        [FeedSpec(name="car", where=where_of("udp://:1"), format="gpsd", of="car")],
        ["car=tcp://127.0.0.1:2947", "new=file:a=b.txt"],
    )
    assert [one.where.text for one in specs] == ["tcp://127.0.0.1:2947", "file:a=b.txt"]
    assert [(one.format, one.of) for one in specs] == [("gpsd", "car"), ("nmea", "glider")]


def test_a_new_feed_that_is_called_car_is_the_cars() -> None:
    named = ["car=udp://:1", "Car two=udp://:2", "cargo=udp://:3"]
    assert [one.of for one in with_changes([], named)] == ["car", "car", "glider"]


@pytest.mark.parametrize("text", ["udp://:5005", "=udp://:5005", " =udp://:5005"])
def test_a_feed_without_a_name_is_refused(text: str) -> None:
    with pytest.raises(InputError, match=r"feed is .*; allowed: a name, = and .* Write --feed"):
        with_changes([], [text])


def test_a_flight_without_feeds_says_how_to_state_one(ports: list[str]) -> None:
    ports.clear()
    text = feeds_text(DEMO, [], 10.0, CLOCKS)
    assert text.startswith("Serial ports of this machine\n  none\n")
    assert "No feed is stated. Write [[feeds]] in the flight file, or give --feed" in text


@pytest.mark.parametrize("for_s", [0.0, 3601.0, float("nan")])
def test_a_span_out_of_range_is_refused(for_s: float) -> None:
    with pytest.raises(InputError, match=r"for is .* s; allowed: 0\.1 to 3600 s"):
        feeds_text(DEMO, [], for_s, CLOCKS)


def heard(form: str = "nmea", data: bytes = b"", **condition: object) -> FeedHeard:
    spec = FeedSpec(
        name="a", where=where_of("serial:/dev/ttyUSB0"), format=form, sender="N0CALL",  # type: ignore[arg-type]
        sensor_ends_pa=30_000.0,
    )  # fmt: skip
    one = FeedHeard(spec, Condition(**condition), codec_of(spec))  # type: ignore[arg-type]
    now = Raw(feed="a", monotonic_s=10.0, utc_s=NOON_T_S, data=data)
    one.take(now)
    one.end(now)
    return one


def told(one: FeedHeard) -> str:
    return "\n".join(feed_lines(one, 12.5, "UTC"))


def test_what_is_not_there_is_told_with_its_reason() -> None:
    text = told(heard(state=State.AWAY, why="No such file or directory"))
    assert text.startswith("a, glider: not there (No such file or directory)\n")
    assert "its pressure sensor ends at 300 hPa" in text
    gone = told(heard(data=line(GGA), state=State.AWAY, why="unplugged"))
    assert gone.startswith("a, glider: heard, but gone now (unplugged)\n")


def test_ages_kinds_of_height_and_clocks_are_told() -> None:
    now = GGA.replace(b"115901.00", b"120000.50")
    text = told(heard(data=line(now), state=State.OPEN, last_monotonic_s=11.0))
    assert text.startswith("a, glider: heard, last 1.5 s ago\n")
    assert "236 m above sea level, 2.5 s ago\n" in text
    assert "its clock 12:00\n" in text
    late = told(heard(data=line(GGA.replace(b"115901.00", b"130000.00"))))
    assert "its clock 13:00, 1 h ahead of ours" in late


def test_a_link_alone_lost_bytes_and_packets_of_a_vehicle_are_told() -> None:
    one = heard()
    one.last_heard, one.n_lost_bytes = Heard(feed="a", strength_dbm=-93.5), 700
    assert "link heard with -93.5 dBm" in told(one)
    assert "700 bytes came faster than they were read and are lost" in told(one)
    one.last_heard = Heard(feed="a")
    assert "link heard, without a position" in told(one)
    row = (Path(__file__).parents[1] / "authorities" / "feeds" / "mavlink.txt").read_text()
    packet = bytes.fromhex(row.splitlines()[25].split('"hex": "')[1].split('"')[0])
    assert "last: message 30, 28 bytes" in told(heard("mavlink", packet))


def test_what_is_odd_of_a_place_stands_below_it(tmp_path: Path) -> None:
    north = GGA.replace(b",S,", b",N,").replace(b"115901", b"120000")
    (tmp_path / "a.txt").write_bytes(line(north))
    text = feeds_text(DEMO, [f"a=file:{tmp_path / 'a.txt'}"], 20.0, CLOCKS)
    told = " ".join(text.split())
    assert "odd: a is 10" in told
    assert "with the sign of its latitude turned it would be here. Look at the columns" in told
    assert all(len(each) <= WIDE for each in text.splitlines())


def test_a_long_line_is_cut_and_says_so() -> None:
    text = told(heard(data=b"x" * 500 + b"\r\n"))
    last = next(each for each in text.splitlines() if "last:" in each)
    assert last.endswith("xxx...")
    assert len(last) <= WIDE


def test_a_format_may_be_told_with_it() -> None:
    car = FeedSpec(name="car", where=where_of("udp://:1"), format="nmea", of="car")
    specs = with_changes([car], ["car=gpsd@tcp://127.0.0.1:2947", "box=mavlink@udp://:5"])
    assert [(one.format, one.where.text) for one in specs] == [
        ("gpsd", "tcp://127.0.0.1:2947"), ("mavlink", "udp://:5"),
    ]  # fmt: skip
    kept = with_changes(specs, ["car=tcp://127.0.0.1:2948", "a=file:b@c.txt"])
    assert [(one.format, one.where.text) for one in (kept[0], kept[2])] == [
        ("gpsd", "tcp://127.0.0.1:2948"), ("nmea", "file:b@c.txt"),
    ]  # fmt: skip


@pytest.mark.parametrize(("form", "what"), [("csv", "columns"), ("packet", "sender")])
def test_a_format_that_needs_more_is_refused(form: str, what: str) -> None:
    with pytest.raises(InputError, match=f"feed new is {form}; allowed: .* State its {what} in"):
        with_changes([], [f"new={form}@udp://:5"])


def test_a_clock_that_is_months_off_is_told_in_days() -> None:
    one = heard(data=line(GGA))
    fix = one.last_fix
    assert fix is not None
    one.last_fix = replace(fix, t_s=NOON_T_S + 17_351_821.0)  # 200.8 days of 86 400 s
    assert ", 201 days ahead of ours" in told(one)
