"""A log is read until the first record that does not check, wherever it is cut or changed."""

import io
from pathlib import Path

import pytest

from farglide.errors import SourceError
from farglide.track.journal.frame import START, Kind, Record, after, frame_of
from farglide.track.journal.head import head_payload
from farglide.track.journal.reader import CUT, DAMAGED, Scan, left_words, open_log, survey

from .made import HEAD, made_log, read, seeded


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    return made_log(tmp_path_factory.mktemp("whole") / "a.log", 6)


@pytest.fixture(scope="module")
def ends(whole: bytes, tmp_path_factory: pytest.TempPathFactory) -> list[int]:
    """Return the byte behind each record."""
    path = tmp_path_factory.mktemp("ends") / "a.log"
    path.write_bytes(whole)
    with path.open("rb") as file:
        scan = Scan("a.log", file)
        found = [scan.mark.at_byte for _ in scan]
    assert found[-1] == len(whole)
    return found


def test_a_log_cut_at_any_byte_gives_every_whole_record(whole: bytes, ends: list[int]) -> None:
    for n in range(len(whole) + 1):
        n_whole = sum(end <= n for end in ends)
        scan = Scan("a.log", io.BytesIO(whole[:n]))
        assert [record.number for record in scan] == list(range(n_whole))
        assert scan.mark.at_byte == ([0, *ends])[n_whole]
        assert scan.why == ("" if scan.mark.at_byte == n else CUT)


def test_a_log_with_any_byte_changed_gives_every_record_before(
    whole: bytes, ends: list[int]
) -> None:
    for n, flip in enumerate(seeded(1).integers(1, 256, len(whole))):
        changed = whole[:n] + bytes([whole[n] ^ int(flip)]) + whole[n + 1 :]
        n_whole = sum(end <= n for end in ends)
        scan = Scan("a.log", io.BytesIO(changed))
        assert [record.number for record in scan] == list(range(n_whole))
        assert scan.mark.at_byte == ([0, *ends])[n_whole]
        assert scan.why in (CUT, DAMAGED)


def test_a_survey_tells_what_is_left_and_whether_it_was_ended(
    whole: bytes, ends: list[int], tmp_path: Path
) -> None:
    path = tmp_path / "a.log"
    for n in (end + more for end in ends for more in (-1, 0, 1) if end + more <= len(whole)):
        path.write_bytes(whole[:n])
        n_whole = sum(end <= n for end in ends)
        if n_whole == 0:
            with pytest.raises(SourceError, match=r"ends before its head: nothing was logged\. B"):
                survey(path)
            continue
        found = survey(path)
        assert (found.n_records, found.last.number) == (n_whole, n_whole - 1)
        assert (found.began.kind, found.head) == (Kind.HEAD, HEAD)
        assert found.n_left == n - ends[n_whole - 1]
        assert found.why == (CUT if found.n_left else "")
        assert found.is_finished == (n == len(whole))


def test_two_records_exchanged_do_not_check(whole: bytes, ends: list[int], tmp_path: Path) -> None:
    path = tmp_path / "a.log"
    a, b, c = ends[2:5]
    path.write_bytes(whole[:a] + whole[b:c] + whole[a:b] + whole[c:])
    assert survey(path).n_records == 3


def test_a_record_of_another_log_does_not_check(
    whole: bytes, ends: list[int], tmp_path: Path
) -> None:
    other = made_log(tmp_path / "b.log", 6)
    assert other == whole  # the same flight at the same time
    changed = Record(
        kind=Kind.HEAD, number=0, monotonic_s=1.0, utc_s=0.0, payload=head_payload(HEAD)
    )
    path = tmp_path / "a.log"
    path.write_bytes(frame_of(changed, START) + whole[ends[0] :])
    assert survey(path).n_records == 1


def test_what_is_left_over_is_told_with_its_place(whole: bytes, tmp_path: Path) -> None:
    path = tmp_path / "a.log"
    path.write_bytes(whole + b"\x07")
    assert left_words(survey(path)) == (
        f"1 byte after byte {len(whole)} are left over: "
        "the log ends in the middle of a record there."
    )
    path.write_bytes(whole)
    assert left_words(survey(path)) == ""


def test_records_are_read_one_at_a_time(whole: bytes, tmp_path: Path) -> None:
    path = tmp_path / "a.log"
    path.write_bytes(whole)
    with open_log(path) as (head, scan):
        assert head == HEAD
        records = iter(scan)
        assert [next(records).kind for _ in range(3)] == [Kind.HEAD, Kind.RAW, Kind.FIX]
        assert scan.mark.number == 2


def test_records_of_some_kinds_alone(whole: bytes) -> None:
    scan = Scan("a.log", io.BytesIO(whole))
    kinds = [record.kind for record in scan.of((Kind.RAW, Kind.END))]
    assert kinds == [Kind.RAW] * 6 + [Kind.END]
    assert scan.mark.at_byte == len(whole)


def numbered(*numbers: int) -> bytes:
    """Return a log of records that check, with these numbers."""
    mark, data = START, b""
    for number in numbers:
        record = Record(
            kind=Kind.NOTE if data else Kind.HEAD,
            number=number,
            monotonic_s=0.0,
            utc_s=0.0,
            payload=b"{}" if data else head_payload(HEAD),
        )
        frame = frame_of(record, mark)
        mark, data = after(mark, frame, number), data + frame
    return data


def test_numbers_that_are_missing_are_counted(tmp_path: Path) -> None:
    (tmp_path / "a.log").write_bytes(numbered(0, 1, 5, 6))
    assert [one.number for one in read(tmp_path / "a.log")] == [0, 1, 5, 6]
    assert survey(tmp_path / "a.log").n_lost == 3


@pytest.mark.parametrize("numbers", [(0, 1, 1, 2), (0, 1, 0, 2)])
def test_a_number_that_was_there_already_ends_the_log(numbers: tuple[int, ...]) -> None:
    scan = Scan("a.log", io.BytesIO(numbered(*numbers)))
    assert [one.number for one in scan] == [0, 1]
    assert scan.why == DAMAGED


def unknown(tmp_path: Path) -> Path:
    """Return a log with a record of kind 99 that checks."""
    whole = made_log(tmp_path / "made.log", 1)
    found = survey(tmp_path / "made.log")
    record = Record(kind=99, number=9, monotonic_s=0.0, utc_s=0.0, payload=b"")  # type: ignore[arg-type]
    path = tmp_path / "a.log"
    path.write_bytes(whole + frame_of(record, found.mark))
    return path


def test_a_record_of_a_newer_kind_is_refused_not_cut_off(tmp_path: Path) -> None:
    with pytest.raises(SourceError, match="record 9: is of kind 99, which this farglide does not"):
        survey(unknown(tmp_path))
    with (tmp_path / "a.log").open("rb") as file, pytest.raises(SourceError, match=r"kind 99"):
        list(Scan("a.log", file).of((Kind.RAW,)))


def test_what_is_no_log_is_refused(tmp_path: Path) -> None:
    with pytest.raises(SourceError, match=r"cannot be read: No such file .* Look at the name and"):
        survey(tmp_path / "none.log")
    with pytest.raises(SourceError, match="cannot be read: Is a directory"):
        survey(tmp_path)
    text = tmp_path / "a.txt"
    text.write_text("lat,lon\n" * 100)
    with pytest.raises(SourceError, match="is no log of a ride, or its head is damaged"):
        survey(text)


def test_a_medium_that_fails_while_it_is_read_is_named(whole: bytes) -> None:
    class Failing:
        def seek(self, _: int) -> None: ...

        def read(self, _: int) -> bytes:
            raise OSError(5, "Input/output error")

    with pytest.raises(SourceError, match=r"a.log: cannot be read: Input/output error"):
        next(iter(Scan("a.log", Failing())))  # type: ignore[arg-type]
