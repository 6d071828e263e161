"""The newest whole run, from the first source that gives it."""

import shutil
from collections import namedtuple
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from bench.forecastserver.faults import Kind

from farglide.earth.clock import seconds_from_text
from farglide.errors import FetchError, InputError, SourceError, Unfetched
from farglide.gather.fetch.contents import contents_of
from farglide.gather.fetch.fetching import (
    N_KEPT,
    Asked,
    Taken,
    fetch,
    size_words,
    sources_for,
)
from farglide.gather.fetch.record import RECORD, read_record, sha256_of
from farglide.gather.fetch.runs import run_text
from farglide.gather.fetch.source import Gives
from farglide.gather.fetch.wanted import Wanted

from .server import NOW_S, World, asked, until

RUN_S = seconds_from_text("2027-01-23T00:00Z")  # the newest that can be there at NOW_S


def take(world: World, wanted: Wanted, root: Path, **other: Any) -> Taken:
    return fetch(
        world.client(), world.sources, asked(wanted, root, **other), NOW_S, world.telling()
    )


def test_the_newest_run_is_taken_whole_and_recorded(
    world: World, wanted: Wanted, tmp_path: Path
) -> None:
    taken = take(world, wanted, tmp_path)
    assert (taken.batch.source.key, taken.batch.run_t_s) == ("gfs_cropped", RUN_S)
    assert taken.notes == ()
    assert len(world.targets) == 8  # one request an hour of the flight, no more
    for part in taken.batch.parts:
        row = taken.record.parts[part.name]
        path = taken.batch.folder / part.name
        assert (row.sha256, row.n_bytes) == (sha256_of(path), path.stat().st_size)
        assert (row.address, row.fetched_t_s) == (part.addresses[0], NOW_S)
    assert read_record(taken.batch.folder) == taken.record


def test_the_size_is_told_before_anything_comes(
    world: World, wanted: Wanted, tmp_path: Path
) -> None:
    taken = take(world, wanted, tmp_path)
    assert world.begun == [("gfs_cropped", taken.batch.about_bytes, 0)]
    total = sum(one.n_bytes for one in taken.record.parts.values())
    last = world.progress[-1]
    assert (last.done_bytes, last.about_bytes, last.n_done, last.n_parts) == (total, total, 8, 8)
    assert all(one.done_bytes <= total for one in world.progress)


def test_whole_fields_tell_their_size_from_the_index(
    world: World, wanted: Wanted, tmp_path: Path
) -> None:
    world.manner.crops = False
    taken = take(world, wanted, tmp_path)
    assert taken.batch.source.key == "gfs_whole"
    assert world.begun[-1][0] == "gfs_whole"
    assert "cgi-bin" in taken.notes[0]
    total = sum(one.n_bytes for one in taken.record.parts.values())
    assert world.progress[-1].done_bytes == world.progress[-1].about_bytes == total


def test_what_is_there_is_not_fetched_again(world: World, wanted: Wanted, tmp_path: Path) -> None:
    first = take(world, wanted, tmp_path)
    n_requests = len(world.targets)
    assert take(world, wanted, tmp_path).record == first.record
    assert len(world.targets) == n_requests
    assert world.begun[-1] == ("gfs_cropped", 0, 8)
    spoilt = first.batch.folder / first.batch.parts[2].name
    spoilt.write_bytes(spoilt.read_bytes()[:-1])
    again = take(world, wanted, tmp_path)
    assert len(world.targets) == n_requests + 1
    assert again.record.parts == first.record.parts


def test_a_fetch_that_was_ended_goes_on(world: World, wanted: Wanted, tmp_path: Path) -> None:
    def end(progress: object) -> None:
        if len(world.targets) == 4:
            raise KeyboardInterrupt

    telling = world.telling()._replace(progress=end)
    with pytest.raises(KeyboardInterrupt):
        fetch(world.client(), world.sources, asked(wanted, tmp_path), NOW_S, telling)
    (folder,) = tmp_path.glob("gfs_cropped-*")
    record = read_record(folder)
    assert record is not None
    assert len(record.parts) == 3
    take(world, wanted, tmp_path)
    assert len(world.targets) == 4 + 5  # the fourth is asked for again
    assert not list(folder.glob(".*"))


def test_where_the_newest_run_is_half_there_the_one_before_is_taken(
    world: World, wanted: Wanted, tmp_path: Path
) -> None:
    world.manner.library.is_there = until(RUN_S, 14)  # 15 is wanted
    taken = take(world, wanted, tmp_path)
    assert run_text(taken.batch.run_t_s) == "2027-01-22 18 UTC"
    assert "the run of 2027-01-22 18 UTC from gfs_cropped was taken, since" in taken.notes[0]
    assert "f015... is not there, or not yet" in taken.notes[0]
    runs = {one.split("file=gfs.t")[1][:2] for one in world.targets[1:]}
    assert runs == {"18"}  # and never one hour of the newest
    assert {one.run_t_s for one in taken.batch.parts} == {taken.batch.run_t_s}
    assert len(list(tmp_path.glob("gfs_cropped-*"))) == 1


@pytest.mark.parametrize("crops", [True, False])
def test_an_hour_missing_in_the_middle_brings_the_run_before_too(
    world: World, wanted: Wanted, tmp_path: Path, crops: bool
) -> None:
    world.manner.crops = crops
    world.manner.library.is_there = lambda stamp: (stamp.run_t_s, stamp.step_h) != (RUN_S, 10)
    taken = take(world, wanted, tmp_path)
    assert run_text(taken.batch.run_t_s) == "2027-01-22 18 UTC"
    assert {part.run_t_s for part in taken.batch.parts} == {taken.batch.run_t_s}
    assert taken.record.run_t_s == taken.batch.run_t_s


def test_an_index_that_is_too_short_means_half_there(
    world: World, wanted: Wanted, tmp_path: Path
) -> None:
    world.manner.crops = False
    sources = tuple(
        replace(one, least_messages=51) if one.key == "gfs_whole" else one for one in world.sources
    )  # the real file has 50 lines
    with pytest.raises(FetchError, match="holds 50 lines, not 51 or more: it is half there"):
        fetch(world.client(), sources, asked(wanted, tmp_path), NOW_S, world.telling())


def test_fields_that_are_not_in_the_index_mean_half_there(
    world: World, wanted: Wanted, tmp_path: Path
) -> None:
    world.manner.crops = False
    sources = tuple(
        replace(one, fields=(*one.fields, "SPFH")) if one.key == "gfs_whole" else one
        for one in world.sources
    )
    with pytest.raises(FetchError, match="lacks SPFH at 1000 hPa and 11 fields more") as caught:
        fetch(world.client(), sources, asked(wanted, tmp_path), NOW_S, world.telling())
    assert caught.value.cause is Unfetched.NOT_THERE


def test_fields_that_may_be_there_come_where_they_are(
    world: World, wanted: Wanted, tmp_path: Path
) -> None:
    # The real file holds humidity at 1000 and 500 hPa only.
    sources = tuple(replace(one, also=("RH",)) for one in world.sources)
    for crops in (True, False):
        world.manner.crops = crops
        what = asked(wanted, tmp_path / str(crops))
        taken = fetch(world.client(), sources, what, NOW_S, world.telling())
        contents = contents_of(taken.batch.folder / taken.batch.parts[0].name)
        assert {one.hpa for one in contents if one.field == "RH"} == {1000.0, 500.0}


def test_an_index_of_another_run_is_refused(
    world: World, wanted: Wanted, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from bench.forecastserver.library import Library

    world.manner.crops = False
    index = Library._index
    monkeypatch.setattr(
        Library, "_index", lambda *found: index(*found).replace(b"d=2027012300", b"d=2027012218")
    )
    with pytest.raises(FetchError, match="tells of the run 2027-01-22 18 UTC, not of 2027-01-23"):
        take(world, wanted, tmp_path)


@pytest.mark.parametrize(
    ("kind", "how"),
    [
        (Kind.STATUS, {"status": 403}),
        (Kind.STATUS, {"status": 503}),
        (Kind.PAGE, {}),
        (Kind.LESS, {}),
        (Kind.CUT, {"after_bytes": 0}),
    ],
)
def test_where_the_server_that_cuts_fails_whole_fields_are_taken(
    world: World, wanted: Wanted, tmp_path: Path, kind: Kind, how: dict[str, Any]
) -> None:
    world.fail(kind, "cgi-bin", times=99, **how)
    taken = take(world, wanted, tmp_path)
    assert (taken.batch.source.key, taken.batch.run_t_s) == ("gfs_whole", RUN_S)
    assert not any("18z" in one for one in world.targets)  # no older run is asked for


def test_a_coarser_grid_is_taken_only_where_asked(
    world: World, wanted: Wanted, tmp_path: Path
) -> None:
    def keys(grid_deg: float) -> list[str]:
        what = Asked(wanted, Gives.WINDS, grid_deg, tmp_path)
        return [one.key for one in sources_for(world.sources, what)]

    assert keys(0.25) == ["gfs_cropped", "gfs_whole"]
    assert keys(0.5) == ["gfs_whole_0p50", "gfs_whole_1p00"]
    assert keys(1.0) == ["gfs_whole_1p00"]
    with pytest.raises(InputError, match=r"missing for winds on a grid of 0\.1 degrees"):
        keys(0.1)
    half = asked(wanted, tmp_path)._replace(grid_deg=0.5)
    taken = fetch(world.client(), world.sources, half, NOW_S, world.telling())
    assert [part.step_h for part in taken.batch.parts] == [6, 9, 12, 15]


def test_members_come_from_one_run(world: World, wanted: Wanted, tmp_path: Path) -> None:
    late = seconds_from_text("2027-01-23T00:00Z")

    def is_there(stamp: Any) -> bool:
        return not (stamp.run_t_s == late and stamp.member == 2 and stamp.step_h == 9)

    world.manner.library.is_there = is_there
    taken = take(world, wanted, tmp_path, gives=Gives.MEMBERS, n_members=3)
    assert taken.batch.source.key == "gefs_cropped"
    assert {part.run_t_s for part in taken.batch.parts} == {late - 6 * 3600.0}
    assert {row.member for row in taken.record.parts.values()} == {"gec00", "gep01", "gep02"}


def test_where_nothing_helps_each_reason_is_told(
    world: World, wanted: Wanted, tmp_path: Path
) -> None:
    world.fail(Kind.PAGE, times=99)
    with pytest.raises(FetchError) as caught:
        take(world, wanted, tmp_path)
    told = str(caught.value)
    assert told.count('web page called "Sign in to the guest network"') == 2
    assert "--show prints every address" in told
    assert list(tmp_path.glob("gfs_*")) == []


def test_a_full_disk_is_told_before_anything_is_asked(
    world: World, wanted: Wanted, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    usage = namedtuple("usage", "total used free")
    monkeypatch.setattr(shutil, "disk_usage", lambda _: usage(1, 1, 1_000))
    with pytest.raises(SourceError, match=r"has 1 kB free; about .* are needed\. Make room"):
        take(world, wanted, tmp_path)
    assert world.targets == []


def test_a_folder_that_cannot_be_made_is_told(world: World, wanted: Wanted, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(SourceError, match="cannot be written: "):
        take(world, wanted, tmp_path / "file")


def test_old_batches_make_room_and_nothing_else_does(
    world: World, wanted: Wanted, tmp_path: Path
) -> None:
    for k in range(N_KEPT + 2):
        old = tmp_path / f"gfs_cropped-20260101{k:02d}-0123abcd"
        old.mkdir()
        (old / RECORD).write_text("{}")
    (tmp_path / "mine").mkdir()
    (tmp_path / "mine" / RECORD).write_text("{}")
    taken = take(world, wanted, tmp_path)
    assert len(list(tmp_path.glob("gfs_cropped-*"))) == N_KEPT
    assert taken.batch.folder.is_dir()
    assert (tmp_path / "mine" / RECORD).is_file()


def test_sizes_are_told_in_units_that_fit() -> None:
    assert [size_words(one) for one in (0, 999_499, 1_000_000, 2.5e9)] == [
        "1 kB", "999 kB", "1.0 MB", "2.5 GB",
    ]  # fmt: skip
