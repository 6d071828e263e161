"""Writes the tables of tests/authorities/feeds: messages, and what general libraries read in them.

Run by a Python that has pynmea2, aprslib and pymavlink; farglide itself needs none of them.
"""

import json
import random
import string
import struct
import sys
from collections.abc import Callable, Iterator
from functools import reduce
from pathlib import Path
from typing import Any, Final

import aprslib
import pynmea2
from pymavlink.dialects.v20 import common

FOLDER: Final = Path(__file__).parents[1] / "tests" / "authorities" / "feeds"
MESSAGES: Final = ("GPS_RAW_INT", "ATTITUDE", "GLOBAL_POSITION_INT")
N_EACH: Final = 40
N_MUTATED: Final = 400
Row = dict[str, Any]


def main() -> None:
    """Write every table anew."""
    FOLDER.mkdir(exist_ok=True)
    _write("nmea", f"pynmea2 {pynmea2.__version__} (MIT)", _nmea)
    _write("packet", f"aprslib {aprslib.__version__} (GPL-2.0)", _packet)
    _write("mavlink", "pymavlink, dialect common (LGPL-3.0)", _mavlink)


def _write(name: str, library: str, rows: Callable[[random.Random], Iterator[Row]]) -> None:
    head = [
        f"# Messages made up by scripts/make_feed_tables.py, and their readings by {library}.",
        "# A line each: the bytes in hexadecimal, and what was read, or why nothing was.",
    ]
    lines = [json.dumps(row, sort_keys=True) for row in rows(random.Random(name))]
    (FOLDER / f"{name}.txt").write_text("\n".join(head + lines) + "\n", encoding="utf-8")
    sys.stdout.write(f"{name}: {len(lines)} rows\n")


def _nmea(rng: random.Random) -> Iterator[Row]:
    lines = [make(rng) for make in (_gga, _rmc, _gll, _vtg, _gns, _zda) for _ in range(N_EACH)]
    yield from map(_nmea_row, lines)
    yield from (_nmea_row(_changed(rng.choice(lines), rng)) for _ in range(N_MUTATED))


def _nmea_row(line: bytes) -> Row:
    row: Row = {"hex": line.hex()}
    try:
        said = pynmea2.parse(line.decode("ascii"), check=True)
        named = ("latitude", "longitude", "altitude", "geo_sep", "spd_over_grnd", "true_course")
        named += ("true_track", "spd_over_grnd_kts", "num_sats")
        values = {name: getattr(said, name, None) for name in named}
        row["read"] = {k: float(v) for k, v in values.items() if v not in (None, "")}
        row["read"]["clock_s"] = _clock_s(getattr(said, "timestamp", None))
        row["kind"] = said.sentence_type
    except pynmea2.ChecksumError:
        row["fault"] = "checksum"
    except Exception as error:  # whatever a library says to garbage
        row["fault"] = type(error).__name__
    return row


def _clock_s(when: Any) -> float | None:
    if not hasattr(when, "hour"):
        return None
    return 3600.0 * when.hour + 60.0 * when.minute + when.second + 1e-6 * when.microsecond


def _sentence(body: str) -> bytes:
    return f"${body}*{reduce(lambda so_far, c: so_far ^ ord(c), body, 0):02X}".encode()


def _talker(rng: random.Random) -> str:
    return rng.choice(["GP", "GN", "GL", "GA", "GB", "II"])


def _clock(rng: random.Random) -> str:
    text = f"{rng.randrange(24):02d}{rng.randrange(60):02d}{rng.randrange(60):02d}"
    return text + rng.choice(["", ".00", f".{rng.randrange(1000):03d}"])


def _place(rng: random.Random) -> str:
    lat = f"{rng.randrange(90):02d}{rng.randrange(60):02d}.{rng.randrange(10**5):05d}"
    lon = f"{rng.randrange(180):03d}{rng.randrange(60):02d}.{rng.randrange(10**5):05d}"
    return f"{lat},{rng.choice('NS')},{lon},{rng.choice('EW')}"


def _gga(rng: random.Random) -> bytes:
    n, high, geoid = rng.randrange(4, 20), rng.uniform(-50, 40000), rng.uniform(-100, 80)
    rest = f"{rng.choice([1, 2, 4])},{n:02d},0.9,{high:.1f},M,{geoid:.1f},M,,"
    return _sentence(f"{_talker(rng)}GGA,{_clock(rng)},{_place(rng)},{rest}")


def _gns(rng: random.Random) -> bytes:
    n, high, geoid = rng.randrange(4, 20), rng.uniform(-50, 40000), rng.uniform(-100, 80)
    rest = f"{rng.choice(['A', 'AA', 'AN', 'DD'])},{n:02d},0.9,{high:.1f},{geoid:.1f},,"
    return _sentence(f"{_talker(rng)}GNS,{_clock(rng)},{_place(rng)},{rest}")


def _rmc(rng: random.Random) -> bytes:
    date = f"{rng.randrange(1, 29):02d}{rng.randrange(1, 13):02d}{rng.randrange(20, 60):02d}"
    moving = f"{rng.uniform(0, 300):.2f},{rng.uniform(0, 360):.2f}"
    mode = rng.choice(["", ",A", ",D"])
    return _sentence(f"{_talker(rng)}RMC,{_clock(rng)},A,{_place(rng)},{moving},{date},,{mode}")


def _gll(rng: random.Random) -> bytes:
    return _sentence(f"{_talker(rng)}GLL,{_place(rng)},{_clock(rng)},A,A")


def _vtg(rng: random.Random) -> bytes:
    knots = rng.uniform(0, 300)
    moving = f"{rng.uniform(0, 360):.2f},T,,M,{knots:.3f},N,{1.852 * knots:.3f},K,A"
    return _sentence(f"{_talker(rng)}VTG,{moving}")


def _zda(rng: random.Random) -> bytes:
    date = f"{rng.randrange(1, 29):02d},{rng.randrange(1, 13):02d},{rng.randrange(2020, 2060)}"
    return _sentence(f"{_talker(rng)}ZDA,{_clock(rng)},{date},00,00")


def _changed(line: bytes, rng: random.Random) -> bytes:
    """Change, drop or repeat a few bytes; half of the time under a checksum that holds again."""
    held = bytearray(line)
    for _ in range(rng.choice([1, 1, 2, 4])):
        at = rng.randrange(len(held))
        way = rng.randrange(3)
        if way == 0:
            held[at] = ord(rng.choice(string.digits + ",.-ANSWE"))
        elif way == 1:
            del held[at]
        else:
            held[at:at] = held[at : at + rng.randrange(1, 4)]
    body = held.decode().lstrip("$").partition("*")[0]
    return _sentence(body) if rng.random() < 0.5 else bytes(held)


def _packet(rng: random.Random) -> Iterator[Row]:
    made = [make(rng) for make in (_plain, _stamped, _compressed, _mic) for _ in range(N_EACH)]
    yield from (_packet_row(to, words) for to, words in made)
    for _ in range(N_MUTATED):
        to, words = rng.choice(made)
        held = bytearray(words)
        held[rng.randrange(len(held))] = rng.randrange(33, 127)
        yield _packet_row(to, bytes(held) if rng.random() < 0.8 else words[: rng.randrange(40)])


def _packet_row(to: str, words: bytes) -> Row:
    row: Row = {"to": to, "hex": words.hex()}
    try:
        said = aprslib.parse(f"N0CALL-11>{to}:".encode() + words)
        named = ("latitude", "longitude", "altitude", "speed", "course", "format")
        row["read"] = {name: said[name] for name in named if said.get(name) is not None}
        if "latitude" not in said:
            row["fault"] = "no position"
    except Exception as error:  # whatever a library says to garbage
        row["fault"] = type(error).__name__
    return row


def _plain(rng: random.Random) -> tuple[str, bytes]:
    return "APZ001", (rng.choice("!=") + _in_minutes(rng) + _comment(rng)).encode()


def _stamped(rng: random.Random) -> tuple[str, bytes]:
    stamp = f"{rng.randrange(24):02d}{rng.randrange(60):02d}{rng.randrange(60):02d}h"
    return "APZ001", (rng.choice("/@") + stamp + _in_minutes(rng) + _comment(rng)).encode()


def _in_minutes(rng: random.Random) -> str:
    lat = f"{rng.randrange(90):02d}{rng.randrange(60):02d}.{rng.randrange(100):02d}"
    lon = f"{rng.randrange(180):03d}{rng.randrange(60):02d}.{rng.randrange(100):02d}"
    if rng.random() < 0.2:
        lat, lon = (f"{each[:-1]} " for each in (lat, lon))
    return f"{lat}{rng.choice('NS')}/{lon}{rng.choice('EW')}O"


def _comment(rng: random.Random) -> str:
    moving = f"{rng.randrange(1, 361):03d}/{rng.randrange(200):03d}" * (rng.random() < 0.7)
    return moving + f"/A={rng.randrange(110000):06d}" * (rng.random() < 0.7) + " high up"


def _base91(value: int, n: int) -> str:
    return "".join(chr(33 + value // 91 ** (n - 1 - i) % 91) for i in range(n))


def _compressed(rng: random.Random) -> tuple[str, bytes]:
    place = _base91(rng.randrange(68_567_000), 4) + _base91(rng.randrange(68_567_000), 4)
    kind = rng.choice([" ", "move", "high"])
    rest = {
        " ": "  !",
        "move": _base91(rng.randrange(90) * 91 + rng.randrange(91), 2) + chr(33 + 0x2E),
        "high": _base91(rng.randrange(6000), 2) + chr(33 + 0x36),
    }[kind]
    return "APZ001", f"!/{place}O{rest} high up".encode()


def _mic(rng: random.Random) -> tuple[str, bytes]:
    digits = f"{rng.randrange(90):02d}{rng.randrange(60):02d}{rng.randrange(100):02d}"
    north, far, west = (rng.random() < 0.5 for _ in range(3))
    raised = [rng.random() < 0.5 for _ in range(3)] + [north, far, west]
    to = "".join(chr(ord(d) + 32) if up else d for d, up in zip(digits, raised, strict=True))
    deg = rng.randrange(100, 180) if far else rng.randrange(100)
    if far:
        first = deg - 100 + 28 + (80 if deg < 110 else 0)
    else:
        first = deg + 28
    if deg < 10:  # these are written as beyond a hundred
        first, far = deg + 118, True
        to = to[:4] + chr(ord(digits[4]) + 32) + to[5:]
    elif 100 <= deg < 110:
        first = deg - 100 + 108
    minute = rng.randrange(60)
    second = minute + 88 if minute < 10 else minute + 28
    knots, course = rng.randrange(200), rng.randrange(1, 361)
    moving = (knots // 10 + 80 if knots < 200 else knots // 10, knots % 10 * 10 + course // 100)
    speed = bytes([moving[0] + 28, moving[1] + 32, course % 100 + 28])
    high = (_base91(rng.randrange(9_800, 50_000), 3) + "}").encode() * (rng.random() < 0.7)
    head = bytes([first, second, rng.randrange(100) + 28])
    return to, rng.choice([b"`", b"'"]) + head + speed + b"O/" + high + b"high up"


def _mavlink(rng: random.Random) -> Iterator[Row]:
    for one in (True, False):
        for make in (_raw_position, _attitude, _position, _heartbeat):
            for _ in range(N_EACH // 2):
                yield _mavlink_row(_packed(make(rng), rng, one))
    for _ in range(N_MUTATED // 8):
        made = [_packed(_attitude(rng), rng, False), _packed(_position(rng), rng, True)]
        held = bytearray(made[0] + made[1])
        held[rng.randrange(1, len(made[0]))] ^= 1 << rng.randrange(8)
        yield _mavlink_row(bytes(held))


def _packed(message: Any, rng: random.Random, one: bool) -> bytes:
    to = common.MAVLink(None, srcSystem=rng.randrange(1, 255), srcComponent=1)
    to.seq = rng.randrange(256)
    return bytes(message.pack(to, force_mavlink1=one))


def _mavlink_row(data: bytes) -> Row:
    parser = common.MAVLink(None)
    parser.robust_parsing = True
    found = parser.parse_buffer(data) or []
    read = [one.to_dict() for one in found if one.get_type() in MESSAGES]
    return {"hex": data.hex(), "read": read}


def _raw_position(rng: random.Random) -> Any:
    amsl_mm = rng.randrange(-50_000, 40_000_000)
    return common.MAVLink_gps_raw_int_message(
        rng.choice([1_800_000_000_000_000 + rng.randrange(10**9), rng.randrange(10**9)]),
        rng.randrange(0, 7), rng.randrange(-9 * 10**8, 9 * 10**8),
        rng.randrange(-18 * 10**8, 18 * 10**8), amsl_mm, rng.randrange(1000), 65535,
        rng.choice([65535, rng.randrange(20_000)]), rng.choice([65535, rng.randrange(36_000)]),
        rng.choice([255, rng.randrange(30)]),
        rng.choice([0, amsl_mm + rng.randrange(-90_000, 80_000)]),
    )  # fmt: skip


def _attitude(rng: random.Random) -> Any:
    angles = (rng.uniform(-3.1, 3.1), rng.uniform(-1.5, 1.5), rng.uniform(-3.1, 3.1))
    exact = [struct.unpack("<f", struct.pack("<f", each))[0] for each in angles]
    return common.MAVLink_attitude_message(rng.randrange(10**8), *exact, 0.0, 0.0, 0.0)


def _position(rng: random.Random) -> Any:
    speeds = (rng.randrange(-20_000, 20_000) for _ in range(3))
    return common.MAVLink_global_position_int_message(
        rng.randrange(10**8), rng.randrange(-9 * 10**8, 9 * 10**8),
        rng.randrange(-18 * 10**8, 18 * 10**8), rng.randrange(-50_000, 40_000_000),
        rng.randrange(40_000_000), *speeds, rng.choice([65535, rng.randrange(36_000)]),
    )  # fmt: skip


def _heartbeat(_: random.Random) -> Any:
    return common.MAVLink_heartbeat_message(1, 3, 0, 0, 4, 3)


if __name__ == "__main__":
    main()
