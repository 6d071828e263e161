"""Client: one polite request at a time over HTTP, patient with a busy server up to a limit."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from email.utils import parsedate_to_datetime
from typing import Any, Final, NamedTuple
from urllib.parse import urlsplit

import urllib3
from urllib3.exceptions import HTTPError, MaxRetryError, NameResolutionError

from farglide.errors import FetchError, Unfetched
from farglide.gather.fetch.inventory import Span
from farglide.gather.fetch.page import is_page, title_of

N_ASKED: Final = 4
"""How often an address is asked at most."""
FIRST_WAIT_S: Final = 15.0
"""After the first refusal, twice as long after each further one: common practice, no source."""
CUT_WAIT_S: Final = 2.0
"""After the first time that no answer came or the line broke, likewise."""
LONGEST_WAIT_S: Final = 300.0
"""A server that wants to be left alone for longer is not waited for."""
_CONNECT_S: Final = 15.0
_READ_S: Final = 60.0
_N_REDIRECTS: Final = 3
_CHUNK_BYTES: Final = 1 << 16
_PAGE_BYTES: Final = 1 << 16
_BUSY: Final = (403, 429, 500, 502, 503, 504)
_AGAIN: Final = "Ask again later: what was fetched whole is kept."

Sleep = Callable[[float], None]


class Answer(NamedTuple):
    """What a server sends: from which byte on, of how many, and how it may be gone on with."""

    first: int
    length: int | None  # of this answer; None: not told
    total: int | None  # of the whole; None: not told
    etag: str  # by which it is known again; empty: it cannot be gone on with
    chunks: Iterator[bytes]


@dataclass(slots=True)
class Client:
    """Asks one address after another over connections that stay open.

    `sleep` waits so many seconds; `now_t_s` tells the time; `proxy_of` the proxy for an address,
    empty where there is none; `tell` is told why there is a wait.
    """

    sleep: Sleep
    now_t_s: Callable[[], float]
    proxy_of: Callable[[str], str] = lambda _: ""
    tell: Callable[[str], None] = lambda _: None
    n_requests: int = 0
    _pools: dict[str, Any] = field(default_factory=dict)

    @contextmanager
    def asked(
        self, address: str, pause_s: float, span: Span | None = None, etag: str = ""
    ) -> Iterator[Answer]:
        """Yield what an address answers; of a span of bytes, if one is given.

        `etag`: then the span counts only if nothing changed since, else the whole is sent.
        Raises `FetchError` where the server has it not, refuses, or is not to be reached.
        """
        response = self._patiently(address, pause_s, _headers(span, etag))
        try:
            yield _answer(address, response, span)
        finally:
            if not response.closed:  # else the connection is free for the next request
                response.close()

    def text(self, address: str, pause_s: float, most_bytes: int) -> str:
        """Return the text that an address answers, up to so many bytes."""
        with self.asked(address, pause_s) as answer:
            data = bytearray()
            for chunk in answer.chunks:
                data += chunk
                if len(data) > most_bytes:
                    what = f"sends more than {most_bytes} bytes, too many for an index."
                    raise FetchError(Unfetched.WRONG, address, "", what, _AGAIN)
            if answer.length is not None and len(data) != answer.length:
                raise cut(address, f"ended after {len(data)} of {answer.length} bytes.")
        return data.decode("utf-8", "replace")

    def _patiently(self, address: str, pause_s: float, headers: dict[str, str]) -> Any:
        """Return an answer with content, after waits where the server is busy."""
        for k in range(N_ASKED):
            is_last = k == N_ASKED - 1
            try:
                response = self._sent(address, pause_s, headers)
            except FetchError:
                if is_last:
                    raise
                self._wait(CUT_WAIT_S * 2.0**k, "no answer")
                continue
            if response.status in (200, 206):
                break
            self._wait_or_raise(address, response, FIRST_WAIT_S * 2.0**k, is_last)
        return response

    def _wait_or_raise(self, address: str, response: Any, usual_s: float, is_last: bool) -> None:
        """Wait where a server is only busy, as long as it asks for; raise where it refuses."""
        refusal, asked_s = _refusal(address, response), self._retry_after_s(response)
        response.close()
        wait_s = usual_s if asked_s is None else asked_s
        if response.status not in _BUSY or is_last or wait_s > LONGEST_WAIT_S:
            raise refusal
        self._wait(wait_s, f"the server is busy ({response.status})")

    def _wait(self, wait_s: float, why: str) -> None:
        self.tell(f"{why}: waiting {wait_s:.0f} s")
        self.sleep(wait_s)

    def _sent(self, address: str, pause_s: float, headers: dict[str, str]) -> Any:
        """Return what comes of one request, after the pause that the server wants."""
        if self.n_requests:
            self.sleep(pause_s)
        self.n_requests += 1
        try:
            return self._pool(address).request(
                "GET", address, headers=headers, preload_content=False, decode_content=False,
                timeout=urllib3.Timeout(connect=_CONNECT_S, read=_READ_S),
                retries=urllib3.Retry(
                    total=_N_REDIRECTS, connect=0, read=0, status=0, other=0,
                    redirect=_N_REDIRECTS, respect_retry_after_header=False,
                ),
            )  # fmt: skip
        except (HTTPError, OSError) as error:
            raise _unreached(address, error) from error

    def _pool(self, address: str) -> Any:
        proxy = self.proxy_of(address)
        if proxy not in self._pools:
            self._pools[proxy] = (
                urllib3.ProxyManager(proxy, maxsize=1) if proxy
                else urllib3.PoolManager(num_pools=4, maxsize=1)
            )  # fmt: skip
        return self._pools[proxy]

    def _retry_after_s(self, response: Any) -> float | None:
        """Return how long a server asks to be left alone; None where it does not say.

        Source: RFC 9110, section 10.2.3: seconds, or a date.
        """
        told = response.headers.get("Retry-After", "").strip()
        if told.isascii() and told.isdigit():
            return float(told[:9])
        try:
            return max(parsedate_to_datetime(told).timestamp() - self.now_t_s(), 0.0)
        except (TypeError, ValueError, OverflowError):
            return None


def cut(address: str, what: str) -> FetchError:
    """Return the error of an answer that stops short."""
    return FetchError(Unfetched.CUT, address, "", what, _AGAIN)


def server_of(address: str) -> str:
    """Return the name of the server of an address.

    >>> server_of("https://a.example:8080/b?c=d")
    'a.example:8080'
    """
    return urlsplit(address).netloc


def _headers(span: Span | None, etag: str) -> dict[str, str]:
    headers = {"User-Agent": "farglide", "Accept-Encoding": "identity"}
    if span is not None:
        headers["Range"] = f"bytes={span.first}-{'' if span.last is None else span.last}"
        if etag:
            headers["If-Range"] = etag
    return headers


def _answer(address: str, response: Any, span: Span | None) -> Answer:
    """Return what comes, its head read; raise where it is a page and no data."""
    length = _number(response.headers.get("Content-Length", ""))
    first, total = 0, length
    if response.status == 206:
        first, total = _place(address, response, span)
    chunks = _chunks(address, response)
    begin = next(chunks, b"")
    if is_page(response.headers.get("Content-Type", ""), begin):
        raise _page_refusal(address, begin + next(chunks, b""))
    takes_ranges = response.headers.get("Accept-Ranges", "") == "bytes" or response.status == 206
    etag = response.headers.get("ETag", "") if takes_ranges else ""
    etag = "" if etag.startswith("W/") else etag
    return Answer(first, length, total, etag, _joined(begin, chunks))


def _place(address: str, response: Any, span: Span | None) -> tuple[int, int | None]:
    """Return the first byte and the whole length, as `Content-Range` tells them.

    Source: RFC 9110, section 14.4.
    """
    told = response.headers.get("Content-Range", "")
    unit, _, rest = told.partition(" ")
    places, _, whole = rest.partition("/")
    first, last = (_number(one) for one in (places.partition("-")[0], places.partition("-")[2]))
    if unit != "bytes" or span is None or first != span.first or last is None:
        what = f"sends the bytes {told!r} in place of those asked for."
        raise FetchError(Unfetched.WRONG, address, "", what, _AGAIN)
    return first, _number(whole)


def _chunks(address: str, response: Any) -> Iterator[bytes]:
    try:
        yield from response.stream(_CHUNK_BYTES, decode_content=False)
    except (HTTPError, OSError) as error:
        raise cut(address, f"broke off: {_words(error)}.") from error


def _joined(begin: bytes, chunks: Iterator[bytes]) -> Iterator[bytes]:
    if begin:
        yield begin
    yield from chunks


def _refusal(address: str, response: Any) -> FetchError:
    """Return the error of an answer without content, with the title of its page."""
    try:
        title = title_of(response.read(_PAGE_BYTES, decode_content=False) or b"")
    except (HTTPError, OSError):
        title = ""
    told = f"{response.status} {response.reason or ''}".strip() + (f', "{title}"' if title else "")
    if response.status in (404, 410):
        what = f"is not there, or not yet: the server answers {told}."
        return FetchError(Unfetched.NOT_THERE, address, "", what, _AGAIN)
    if response.status == 416:
        what = f"has not the bytes asked for: the server answers {told}."
        return FetchError(Unfetched.WRONG, address, "", what, _AGAIN)
    return FetchError(Unfetched.REFUSED, address, "", f"is refused: {told}.", _AGAIN)


def _page_refusal(address: str, data: bytes) -> FetchError:
    """Return the error of a page in place of data.

    That a server says of a file that it is "not present" in a page of its own, with the status of
    success: from memory.
    """
    title = title_of(data)
    called = f' called "{title}"' if title else ""
    if b"not present" in data.lower():
        what = f"is not there, or not yet: the server sends a page{called}."
        return FetchError(Unfetched.NOT_THERE, address, "", what, _AGAIN)
    what = f"sends a web page{called}, not a forecast."
    remedy = "Is there a sign-in page or a proxy between? Open the address in a browser."
    return FetchError(Unfetched.REFUSED, address, "", what, remedy)


def _unreached(address: str, error: Exception) -> FetchError:
    reason = error.reason if isinstance(error, MaxRetryError) and error.reason else error
    if isinstance(reason, NameResolutionError):
        what = f"cannot be reached: no address is known for {server_of(address)}."
    else:
        what = f"cannot be reached: {_words(reason)}."
    return cut(address, f"{what} Is there a network?")


def _words(error: BaseException) -> str:
    """Return what went wrong without the insides of the library.

    >>> _words(OSError("Connection aborted.", ConnectionResetError("the other end hung up")))
    'the other end hung up'
    """
    if error.args and isinstance(error.args[-1], BaseException):
        return _words(error.args[-1])
    text = str(error).rpartition(": ")[2] if str(error).startswith("<") else str(error)
    return " ".join(text.strip(" ()'\".").split())[:160] or type(error).__name__


def _number(text: str) -> int | None:
    return int(text) if text.isascii() and text.isdigit() and len(text) < 16 else None
