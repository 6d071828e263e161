"""One part onto the disk: gone on with after cuts, whole or not at all."""

import errno
import os
import re
import resource
from dataclasses import replace
from pathlib import Path
from typing import Any, BinaryIO

import pytest
from bench.forecastserver.faults import Kind
from bench.forecastserver.library import Found, Library

from farglide.errors import FetchError, SourceError, Unfetched
from farglide.gather.fetch.batch import batch_of
from farglide.gather.fetch.download import MOST_CUTS, Asking, aside_of, disk_errors, download
from farglide.gather.fetch.inventory import Span, read_index, spans_of
from farglide.gather.fetch.part import Part
from farglide.gather.fetch.wanted import Wanted

from .server import World

RUN_S = 1_800_662_400.0  # 2027-01-23 00 UTC
Spans = tuple[Span, ...]


@pytest.fixture
def cropped(world: World, wanted: Wanted, tmp_path: Path) -> Part:
    return batch_of(world.source("gfs_cropped"), wanted, RUN_S, tmp_path).parts[0]


@pytest.fixture
def whole(world: World, wanted: Wanted, tmp_path: Path) -> tuple[Part, Spans]:
    """Return a part of whole fields and the bytes of it."""
    part = batch_of(world.source("gfs_whole"), wanted, RUN_S, tmp_path).parts[0]
    text = world.client().text(part.indices[0], 0.0, 100_000)
    world.manner.requests.clear()
    return part, spans_of(read_index(text, ""), part.pairs)


class Counted:
    """How many bytes a download told of."""

    n_bytes = 0

    def asking(self) -> Asking:
        return Asking(0.0, self.add)

    def add(self, n_bytes: int) -> None:
        self.n_bytes += n_bytes


def fetched(world: World, part: Part, spans: Spans, path: Path) -> bytes:
    """Return a part as it is on the disk, and see that just its bytes were counted."""
    counted = Counted()
    got = download(world.client(), part, spans, path, counted.asking())
    data = path.read_bytes()
    assert counted.n_bytes == got.n_bytes == len(data)
    assert got.path == path
    assert not list(path.parent.glob(".*.part"))
    return data


def fails(world: World, part: Part, spans: Spans, path: Path) -> FetchError:
    counted = Counted()
    with pytest.raises(FetchError) as caught:
        download(world.client(), part, spans, path, counted.asking())
    assert counted.n_bytes == 0  # what is not kept is not counted
    return caught.value


def test_a_cut_area_comes_in_one_answer(world: World, cropped: Part, tmp_path: Path) -> None:
    data = fetched(world, cropped, (), tmp_path / "f")
    assert (data[:4], data[-4:]) == (b"GRIB", b"7777")
    assert len(world.manner.requests) == 1


def test_of_whole_fields_only_the_wanted_bytes_come(
    world: World, whole: tuple[Part, Spans], tmp_path: Path
) -> None:
    part, spans = whole
    data = fetched(world, part, spans, tmp_path / "f")
    lengths = [span.length for span in spans]
    assert len(data) == sum(one or 0 for one in lengths if one) or None in lengths
    assert [one.span for one in world.manner.requests] == [
        f"bytes={one.first}-{'' if one.last is None else one.last}" for one in spans
    ]


@pytest.mark.parametrize("after_bytes", [0, 1, 5_000])
def test_a_broken_line_is_gone_on_with_from_where_it_broke(
    world: World, whole: tuple[Part, Spans], tmp_path: Path, after_bytes: int
) -> None:
    part, spans = whole
    expected = fetched(world, part, spans, tmp_path / "expected")
    world.manner.requests.clear()
    world.fail(Kind.CUT, times=3, after_bytes=after_bytes)
    assert fetched(world, part, spans, tmp_path / "f") == expected
    first = spans[0].first
    asked = [one.span.partition("-")[0] for one in world.manner.requests[:4]]
    assert asked == [f"bytes={first + k * after_bytes}" for k in range(4)]


def test_a_cut_area_is_gone_on_with_only_where_the_server_can(
    world: World, cropped: Part, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    expected = fetched(world, cropped, (), tmp_path / "expected")
    world.fail(Kind.CUT, after_bytes=5_000)
    assert fetched(world, cropped, (), tmp_path / "f") == expected
    assert [one.span for one in world.manner.requests] == ["", "", ""]  # from the beginning
    find = Library.find

    def with_ranges(library: Library, target: str) -> Found | None:
        found = find(library, target)
        return found and Found(found.data, takes_ranges=True)

    monkeypatch.setattr(Library, "find", with_ranges)
    world.manner.requests.clear()
    world.fail(Kind.CUT, after_bytes=5_000)
    assert fetched(world, cropped, (), tmp_path / "g") == expected
    assert [one.span for one in world.manner.requests] == ["", "bytes=5000-"]


def test_a_line_that_breaks_again_and_again_is_given_up(
    world: World, whole: tuple[Part, Spans], tmp_path: Path
) -> None:
    part, spans = whole
    world.fail(Kind.CUT, times=99, after_bytes=0)
    error = fails(world, part, spans, tmp_path / "f")
    assert error.cause is Unfetched.CUT
    assert "what was fetched whole is kept" in str(error)
    assert len(world.manner.requests) == MOST_CUTS + 1
    assert world.waits.seconds[1::2] == [0.0] * MOST_CUTS
    assert world.waits.seconds[0::2] == [2.0, 4.0, 8.0, 16.0, 32.0]
    assert list(tmp_path.glob(".f.*")) == []


def test_what_came_before_the_end_is_not_asked_for_again(
    world: World, whole: tuple[Part, Spans], tmp_path: Path
) -> None:
    part, spans = whole
    expected = fetched(world, part, spans, tmp_path / "expected")
    world.fail(Kind.CUT, times=1, after_bytes=5_000)
    world.fail(Kind.CUT, times=99, after_bytes=0)
    fails(world, part, spans, tmp_path / "f")
    assert aside_of(tmp_path / "f", part, spans).stat().st_size == 5_000
    world.manner.faults.waiting.clear()
    world.manner.requests.clear()
    assert fetched(world, part, spans, tmp_path / "f") == expected
    assert world.manner.requests[0].span.startswith(f"bytes={spans[0].first + 5_000}-")


def test_a_person_may_end_it_and_the_old_file_stays(
    world: World, whole: tuple[Part, Spans], tmp_path: Path
) -> None:
    part, spans = whole
    path = tmp_path / "f"
    path.write_bytes(b"old")

    def tell(n_bytes: int) -> None:
        if n_bytes > 0:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        download(world.client(), part, spans, path, Asking(0.0, tell))
    assert path.read_bytes() == b"old"


@pytest.mark.parametrize(
    ("kind", "cause", "told"),
    [
        (Kind.OTHER, Unfetched.WRONG, "where"),
        (Kind.PAGE, Unfetched.REFUSED, "web page"),
    ],
)
def test_a_wrong_length_or_a_page_is_refused(
    world: World, whole: tuple[Part, Spans], tmp_path: Path,
    kind: Kind, cause: Unfetched, told: str,
) -> None:  # fmt: skip
    part, spans = whole
    world.fail(kind)
    error = fails(world, part, spans, tmp_path / "f")
    assert error.cause is cause
    assert told in str(error)
    assert list(tmp_path.glob("*f*")) == []


@pytest.mark.parametrize("kind", [Kind.LESS, Kind.SCRAMBLED])
def test_a_file_that_is_not_whole_is_never_kept(
    world: World, cropped: Part, tmp_path: Path, kind: Kind
) -> None:
    world.fail(kind)
    error = fails(world, cropped, (), tmp_path / "f")
    assert error.cause is Unfetched.WRONG
    assert "sends a file that is not whole" in str(error)
    assert list(tmp_path.glob("*f*")) == []


def test_a_server_that_takes_no_ranges_is_refused_for_whole_fields(
    world: World, whole: tuple[Part, Spans], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    part, _ = whole
    monkeypatch.setattr("bench.forecastserver.server._RANGE", re.compile("never"))
    error = fails(world, part, (Span(100, 200),), tmp_path / "f")
    assert "sends the whole file, not the bytes asked for" in str(error)


def test_the_mirror_is_asked_where_the_main_address_fails(
    world: World, whole: tuple[Part, Spans], tmp_path: Path
) -> None:
    part, spans = whole
    gone = replace(part, addresses=(f"{world.base}/gone", part.addresses[0]))
    counted = Counted()
    got = download(world.client(), gone, spans, tmp_path / "f", counted.asking())
    assert got.address == part.addresses[0]
    assert counted.n_bytes == got.n_bytes
    both = replace(part, addresses=(f"{world.base}/gone", f"{world.base}/too"))
    assert fails(world, both, spans, tmp_path / "g").address == f"{world.base}/gone"


def test_a_mirror_goes_on_where_the_main_address_broke_off(
    world: World, whole: tuple[Part, Spans], tmp_path: Path
) -> None:
    part, spans = whole
    expected = fetched(world, part, spans, tmp_path / "expected")
    mirrored = replace(part, addresses=(part.addresses[0], f"{part.addresses[0]}?mirror"))
    world.fail(Kind.CUT, within="f008", times=1, after_bytes=700)
    world.fail(Kind.CUT, within="f008", times=MOST_CUTS, after_bytes=0)
    world.manner.requests.clear()
    assert fetched(world, mirrored, spans, tmp_path / "f") == expected
    assert f"bytes={spans[0].first + 700}-" in world.manner.requests[-len(spans)].span


@pytest.mark.parametrize(
    ("number", "told"),
    [
        (errno.ENOSPC, "cannot be written: No space left on device. Make room"),
        (errno.EACCES, "cannot be written: Permission denied"),
    ],
)
def test_what_the_disk_refuses_is_told(
    world: World, cropped: Part, tmp_path: Path, monkeypatch: pytest.MonkeyPatch,
    number: int, told: str,
) -> None:  # fmt: skip
    def full(self: Path, *arguments: Any, **others: Any) -> BinaryIO:
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr(Path, "open", full)
    with pytest.raises(SourceError, match=told) as caught:
        download(world.client(), cropped, (), tmp_path / "f", Counted().asking())
    assert not isinstance(caught.value, FetchError)  # no other source would help
    assert "What was fetched whole is kept" in str(caught.value)


def test_a_disk_that_fills_up_on_the_way_is_told(tmp_path: Path) -> None:
    with pytest.raises(SourceError, match="No space left"), disk_errors(tmp_path / "f"):
        raise OSError(errno.ENOSPC, "No space left on device")


def test_a_line_that_stalls_is_cut_and_asked_again(
    world: World, whole: tuple[Part, Spans], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    part, spans = whole
    monkeypatch.setattr("farglide.gather.fetch.client._READ_S", 0.2)
    world.fail(Kind.STALL, after_bytes=70_000)
    fetched(world, part, spans, tmp_path / "f")
    assert world.manner.requests[1].span.startswith(f"bytes={spans[0].first + 65_536}-")


def test_a_real_limit_of_the_disk_is_told_and_not_hidden_by_closing(
    world: World, cropped: Part, tmp_path: Path
) -> None:
    # The kernel refuses what goes beyond: as a full disk does, in the middle of a file.
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (100_000, hard))
    try:
        with pytest.raises(SourceError, match="cannot be written: File too large"):
            download(world.client(), cropped, (), tmp_path / "f", Counted().asking())
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
    assert not (tmp_path / "f").exists()
