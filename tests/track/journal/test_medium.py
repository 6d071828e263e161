"""The file of a log: where it is written, cut, let go and taken up again."""

import errno
import os
from pathlib import Path

import pytest

from farglide.track.journal.frame import Kind, Mark, Record, frame_of
from farglide.track.journal.medium import Medium, cut_off, opened, sync_folder
from farglide.track.journal.reader import survey

from .made import made_log, read


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = tmp_path / "ride.log"
    made_log(path, 2)
    return path


def medium_of(path: Path) -> tuple[Medium, Mark]:
    mark = survey(path).mark
    return Medium(path, opened(path, 0), mark, None), mark


def record(number: int) -> Record:
    return Record(kind=Kind.NOTE, number=number, monotonic_s=9.0, utc_s=9.0, payload=b"{}")


def test_a_record_is_written_behind_the_last(path: Path) -> None:
    whole = path.read_bytes()
    medium, mark = medium_of(path)
    medium.write(record(7))
    assert path.read_bytes() == whole + frame_of(record(7), mark)
    assert survey(path).mark == medium.mark
    assert medium.synced == mark
    medium.shut()


def test_a_sync_is_taken_note_of_only_for_the_file_it_was_of(path: Path) -> None:
    medium, mark = medium_of(path)
    medium.write(record(7))
    first = medium.to_sync()
    assert first.failure() is None
    assert medium.synchronised(first)
    assert medium.synced == medium.mark != mark
    late = medium.to_sync()
    medium.let_go()
    assert late.failure() is None
    assert not medium.synchronised(late)
    medium.make_ready(7)
    assert not medium.synchronised(late)
    medium.shut()


def test_what_was_let_go_goes_back_to_the_last_sync(path: Path) -> None:
    medium, mark = medium_of(path)
    medium.write(record(7))
    assert not medium.failed(OSError(errno.ENOSPC, "full"))
    assert medium.mark != mark
    assert medium.failed(OSError(errno.EIO, "broken"))
    assert medium.mark == mark
    with pytest.raises(OSError, match="No such device"):
        medium.write(record(7))
    medium.make_ready(7)
    medium.write(record(7))
    assert read(path)[-1].number == 7
    medium.shut()
    medium.shut()  # the second does nothing


def test_garbage_behind_the_mark_goes_when_it_is_shut(path: Path) -> None:
    medium, mark = medium_of(path)
    with path.open("ab") as file:
        file.write(b"half a record that was not taken")
    medium.shut()
    assert path.stat().st_size == mark.at_byte


def test_nothing_is_cut_where_nothing_is_left(path: Path) -> None:
    handle = opened(path, 0)
    assert cut_off(path, handle, path.stat().st_size) is None
    os.close(handle)
    assert list(path.parent.iterdir()) == [path]


def test_more_than_a_chunk_is_moved_beside(path: Path) -> None:
    size, more = path.stat().st_size, b"0123456789" * 250_000
    with path.open("ab") as file:
        file.write(more)
    handle = opened(path, 0)
    beside = cut_off(path, handle, size)
    os.close(handle)
    assert beside is not None
    assert beside.read_bytes() == more
    assert path.stat().st_size == size


def test_a_copy_that_failed_leaves_nothing_and_cuts_nothing(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    size = path.stat().st_size
    with path.open("ab") as file:
        file.write(b"half")

    def full(_: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    handle = opened(path, 0)
    with monkeypatch.context() as patched:
        patched.setattr(os, "fsync", full)
        for _ in range(3):
            with pytest.raises(OSError, match="No space left"):
                cut_off(path, handle, size)
    assert list(path.parent.iterdir()) == [path]
    assert path.stat().st_size == size + 4
    assert cut_off(path, handle, size) == path.with_name(f"ride.log.cut-{size}")
    os.close(handle)


def test_a_folder_that_cannot_be_synchronised_is_no_matter(tmp_path: Path) -> None:
    sync_folder(tmp_path)
    sync_folder(tmp_path / "none")
