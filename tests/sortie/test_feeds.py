"""Feeds: where they come from, as one line of text."""

from pathlib import PurePath

import pytest

from farglide.errors import InputError
from farglide.sortie.feeds import Where, in_folder, where_of


@pytest.mark.parametrize(
    ("text", "where"),
    [
        ("serial:/dev/ttyUSB0", Where(kind="serial", path="/dev/ttyUSB0")),
        ("serial:COM3?baud=4800", Where(kind="serial", path="COM3", baud=4800)),
        ("tcp://localhost:2947", Where(kind="tcp", host="localhost", port=2947)),
        ("tcp://[::1]:8001", Where(kind="tcp", host="::1", port=8001)),
        ("udp://:14550", Where(kind="udp", port=14550)),
        ("udp://127.0.0.1:14550", Where(kind="udp", host="127.0.0.1", port=14550)),
        ("file:C:/logs/a b.txt", Where(kind="file", path="C:/logs/a b.txt")),
        (" file:log.txt?follow ", Where(kind="file", path="log.txt", follows=True)),
    ],
)
def test_each_way_is_understood_and_written_again(text: str, where: Where) -> None:
    assert where_of(text) == where
    assert where_of(where.text.replace("//::1", "//[::1]")) == where


@pytest.mark.parametrize(
    "text",
    ["", "serial", "serial:", "serial:/dev/x?rate=1", "serial:/dev/x?baud=", "tcp://:2947",
     "tcp://host", "tcp:host:1", "tcp://host:1/x", "udp://host:port", "file:", "file:a?read",
     "ftp://host:1", "file:a\nb", "file:" + "x" * 300],
)  # fmt: skip
def test_anything_else_is_refused_with_the_ways(text: str) -> None:
    with pytest.raises(InputError, match=r"from is .*; allowed: serial:.* one of these ways"):
        where_of(text)


def test_a_port_or_a_speed_out_of_range_is_refused() -> None:
    with pytest.raises(InputError, match=r"port is 70000; allowed: 1 to 65535\. Write"):
        where_of("udp://:70000")
    with pytest.raises(InputError, match=r"baud is 100 bits/s; allowed: 300 to .*sheet"):
        where_of("serial:/dev/x?baud=100")


def test_only_files_lie_beside_the_flight_file() -> None:
    folder = PurePath("/flights")
    assert in_folder(where_of("file:log.txt?follow"), folder).text == "file:/flights/log.txt?follow"
    assert in_folder(where_of("udp://:5005"), folder) == where_of("udp://:5005")
