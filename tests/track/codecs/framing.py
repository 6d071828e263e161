"""Frames made for tests: AX.25 addresses and words, escaped as a KISS port sends them."""


def address(station: str, last: bool = False) -> bytes:
    sign, _, number = station.partition("-")
    head = bytes(ord(letter) << 1 for letter in sign.ljust(6))
    return head + bytes([0x60 | int(number or 0) << 1 | last])


def frame(sender: str, to: str, words: bytes, *repeaters: str) -> bytes:
    stations = [to, sender, *repeaters]
    heads = [address(one, i == len(stations) - 1) for i, one in enumerate(stations)]
    return b"".join(heads) + b"\x03\xf0" + words


def kissed(data: bytes) -> bytes:
    escaped = data.replace(b"\xdb", b"\xdb\xdd").replace(b"\xc0", b"\xdb\xdc")
    return b"\xc0\x00" + escaped + b"\xc0"
