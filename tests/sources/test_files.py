"""Files as bytes and text, and moments in words."""

import os
from collections.abc import Callable
from pathlib import Path

import pytest

from farglide.errors import InputError, SourceError
from farglide.sources.files import beginning, content, n_bytes, text_of, utc_s, utc_words

Writer = Callable[[str, str | bytes], Path]


def test_text_comes_without_its_byte_order_mark() -> None:
    assert text_of(Path("a"), b"\xef\xbb\xbf12 \xc2\xb0") == "12 °"
    assert text_of(Path("a"), b"12 \xb0") == "12 °"  # Latin-1


def test_too_much_is_refused(written: Writer) -> None:
    path = written("big.csv", "x" * 100)
    assert len(content(path)) == len(content(path, 100)) == 100
    with pytest.raises(SourceError, match="holds 100 bytes; allowed: 99 at most"):
        content(path, 99)


def test_moments() -> None:
    assert utc_s(1970, 1, 2, 1.5) == 86_401.5
    assert utc_words(utc_s(1948, 12, 8, 43_200.0)) == "1948-12-08 12:00 UTC"
    assert utc_words(float("nan")) == "at a time the file does not say"
    with pytest.raises(InputError, match="no such time"):
        utc_s(2010, 13, 1, 0.0)


@pytest.mark.parametrize(("reads", "how"), [(content, "read_bytes"), (beginning, "open")])
def test_a_file_that_the_disk_does_not_give_is_refused(
    written: Writer, monkeypatch: pytest.MonkeyPatch, reads: Callable[[Path], bytes], how: str
) -> None:
    path = written("a.csv", "x")

    def broken(*_: object) -> bytes:
        raise OSError(5, "Input/output error")

    monkeypatch.setattr(Path, how, broken)
    with pytest.raises(SourceError, match="Input/output error") as caught:
        reads(path)
    assert caught.value.path == str(path)


def test_a_device_and_a_pipe_are_no_files(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    for path in (tmp_path / "pipe", Path("/dev/zero")):
        with pytest.raises(SourceError, match="is a device or a pipe, not a file"):
            n_bytes(path)
