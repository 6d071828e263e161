"""Download: one part brought to the disk, gone on with after a cut, whole or not at all."""

import hashlib
import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO, Final, NamedTuple, Protocol

from farglide.errors import FetchError, SourceError, Unfetched
from farglide.gather.fetch.client import CUT_WAIT_S, Answer, Client, cut
from farglide.gather.fetch.inventory import Span

MOST_CUTS: Final = 5
"""How often a connection may break in a row without a byte having come."""
_MOST_BYTES: Final = 2_000_000_000
"""More is no part: 26 levels of the whole world are 100 million."""
_KEPT: Final = "What was fetched whole is kept."


class Sought(Protocol):
    """A file to fetch."""

    @property
    def addresses(self) -> tuple[str, ...]:
        """Return the main address and its mirrors."""

    def check(self, path: Path, address: str) -> None:
        """Refuse what came of an address if it is not just that file."""


class Got(NamedTuple):
    """A part on the disk."""

    path: Path
    address: str
    n_bytes: int


class Asking(NamedTuple):
    """How an address is asked, and who is told of the bytes that come."""

    pause_s: float
    tell: Callable[[int], None]
    address: str = ""


@dataclass(slots=True)
class _Taking:
    """A file being filled from one address."""

    client: Client
    address: str
    pause_s: float
    file: BinaryIO
    tell: Callable[[int], None]  # bytes that came, or negative: that are asked for again

    def keep(self, data: bytes) -> None:
        self.file.write(data)
        self.tell(len(data))

    def back_to(self, place: int) -> None:
        """Forget what stands behind a place."""
        here = self.file.tell()
        self.file.seek(place)
        self.file.truncate()
        self.tell(place - here)


def download(
    client: Client, part: Sought, spans: tuple[Span, ...], path: Path, asking: Asking
) -> Got:
    """Bring a part to a path; of a whole file the spans only, where there are any.

    From the mirrors where the main address fails. What was there before stays until the new file is
    whole. Raises `FetchError` of the first address, and `SourceError` where the disk takes no more.
    """
    errors: list[FetchError] = []
    for address in part.addresses:
        try:
            return _from_address(client, part, spans, path, asking._replace(address=address))
        except FetchError as error:
            errors.append(error)
    raise errors[0]


def aside_of(path: Path, part: Sought, spans: tuple[Span, ...]) -> Path:
    """Return where a part grows: the name tells which bytes, lest others are gone on with."""
    digest = hashlib.sha256(repr((part.addresses[0], spans)).encode()).hexdigest()[:12]
    return path.with_name(f".{path.name}.{digest}.part")


@contextmanager
def disk_errors(path: Path) -> Iterator[None]:
    """Turn what the disk refuses into a message."""
    try:
        yield
    except OSError as error:
        what = f"cannot be written: {error.strerror or error}."
        remedy = f"Make room, or name another folder with --fetched. {_KEPT}"
        raise SourceError(str(path), "", what, remedy) from error


def _from_address(
    client: Client, part: Sought, spans: tuple[Span, ...], path: Path, asking: Asking
) -> Got:
    aside = aside_of(path, part, spans)
    try:
        n_bytes = _filled(client, spans, aside, asking)
        part.check(aside, asking.address)
    except FetchError as error:
        _leave(aside, asking, is_kept=bool(spans) and error.cause is Unfetched.CUT)
        raise
    with disk_errors(path):
        aside.replace(path)
    return Got(path, asking.address, n_bytes)


def _filled(client: Client, spans: tuple[Span, ...], aside: Path, asking: Asking) -> int:
    """Fill a file with what an address gives; return how many bytes that are."""
    goes_on = bool(spans) and aside.exists()
    with disk_errors(aside), aside.open("r+b" if goes_on else "w+b") as file:
        # to the end of the file, since it is written as late as when it is closed
        taking = _Taking(client, asking.address, asking.pause_s, file, asking.tell)
        if spans:
            _take_spans(taking, spans)
        else:
            _take_whole(taking)
        file.flush()
        os.fsync(file.fileno())
        return file.tell()


def _leave(aside: Path, asking: Asking, *, is_kept: bool) -> None:
    """Count what was begun no more, and remove it unless it can be gone on with."""
    with disk_errors(aside):
        n_bytes = aside.stat().st_size
        asking.tell(-n_bytes)
        if not is_kept or n_bytes == 0:
            aside.unlink()


def _take_spans(taking: _Taking, spans: tuple[Span, ...]) -> None:
    """Fill a file with the bytes of the spans, from where it ends on."""
    have = taking.file.seek(0, os.SEEK_END)
    taking.tell(have)
    start = 0
    for span in spans:
        if span.length is not None and have >= start + span.length:
            start += span.length
            continue
        if span.length is None:
            have = min(have, start)
        taking.back_to(max(have, start))
        _take_span(taking, span, start)
        start = have = taking.file.tell()
    taking.back_to(start)


def _take_span(taking: _Taking, span: Span, start: int) -> None:
    """Add the bytes of a span that begins at a place of the file, of which some may be there."""

    def ask() -> None:
        got = taking.file.tell() - start
        rest = Span(span.first + got, span.last)
        with taking.client.asked(taking.address, taking.pause_s, rest) as answer:
            if answer.first != rest.first:
                raise _wrong(taking.address, "sends the whole file, not the bytes asked for.")
            if rest.length is not None and answer.length not in (None, rest.length):
                what = f"announces {answer.length} bytes where {rest.length} are asked for."
                raise _wrong(taking.address, what)
            _take(taking, answer, start + got)
        n_bytes = taking.file.tell() - start
        if span.length is not None and n_bytes != span.length:
            raise cut(taking.address, f"ended after {n_bytes} of {span.length} bytes.")

    _patiently(taking, ask)


def _take_whole(taking: _Taking) -> None:
    """Fill a file with all that an address answers; gone on with where the server can do that."""
    etag = ""

    def ask() -> None:
        nonlocal etag
        got = taking.file.tell() if etag else 0
        span = Span(got, None) if got else None
        with taking.client.asked(taking.address, taking.pause_s, span, etag) as answer:
            etag = answer.etag
            taking.back_to(answer.first)
            _take(taking, answer, answer.first)
        n_bytes = taking.file.tell()
        if answer.total is not None and n_bytes != answer.total:
            raise cut(taking.address, f"ended after {n_bytes} of {answer.total} bytes.")

    _patiently(taking, ask)


def _take(taking: _Taking, answer: Answer, start: int) -> None:
    most = _MOST_BYTES if answer.length is None else min(answer.length, _MOST_BYTES)
    for chunk in answer.chunks:
        if taking.file.tell() + len(chunk) - start > most:
            raise _wrong(taking.address, f"sends more than the {most} bytes that are allowed.")
        taking.keep(chunk)


def _patiently(taking: _Taking, ask: Callable[[], None]) -> None:
    """Ask again after a cut, unless nothing came for so many times in a row."""
    n_cuts, before = 0, taking.file.tell()
    while True:
        try:
            ask()
        except FetchError as error:
            here = taking.file.tell()
            n_cuts = 1 if here > before else n_cuts + 1
            before = max(here, before)
            if error.cause is not Unfetched.CUT or n_cuts > MOST_CUTS:
                raise
            wait_s = CUT_WAIT_S * 2.0 ** (n_cuts - 1)
            taking.client.tell(f"the line broke: waiting {wait_s:.0f} s")
            taking.client.sleep(wait_s)
        else:
            return


def _wrong(address: str, what: str) -> FetchError:
    return FetchError(Unfetched.WRONG, address, "", what, f"Fetch it again later. {_KEPT}")
