"""Requests, one at a time: pauses, patience with a busy server, and what is no answer."""

import socket
from datetime import UTC, datetime
from email.utils import format_datetime

import pytest
from bench.forecastserver.faults import Kind

from farglide.errors import FetchError, Unfetched
from farglide.gather.fetch.client import LONGEST_WAIT_S, N_ASKED, Client, server_of
from farglide.gather.fetch.inventory import Span

from .server import NOW_S, World

PATH = "/gfs.20270123/00/atmos/gfs.t00z.pgrb2.0p25.f003"


def text(world: World, client: Client, path: str = f"{PATH}.idx") -> str:
    return client.text(world.base + path, 0.5, 100_000)


def fails(world: World, client: Client, path: str = f"{PATH}.idx") -> FetchError:
    with pytest.raises(FetchError) as caught:
        text(world, client, path)
    return caught.value


def test_each_request_after_the_first_waits_its_pause(world: World) -> None:
    client = world.client()
    assert text(world, client) == text(world, client) == text(world, client)
    assert world.waits.seconds == [0.5, 0.5]


def test_one_connection_serves_all_requests(world: World) -> None:
    client = world.client()
    for _ in range(5):
        text(world, client)
    assert len({one.connection for one in world.manner.requests}) == 1


def test_a_span_of_bytes_is_just_that(world: World) -> None:
    client = world.client()
    with client.asked(world.base + PATH, 0.0) as whole:
        data = b"".join(whole.chunks)
    assert (whole.first, whole.length, whole.total) == (0, len(data), len(data))
    with client.asked(world.base + PATH, 0.0, Span(100, 299)) as some:
        assert (some.first, some.length, some.total) == (100, 200, len(data))
        assert b"".join(some.chunks) == data[100:300]
    with client.asked(world.base + PATH, 0.0, Span(len(data) - 4, None)) as last:
        assert b"".join(last.chunks) == b"7777"
    assert whole.etag == last.etag != ""


@pytest.mark.parametrize("status", [403, 429, 500, 502, 503, 504])
def test_a_busy_server_is_asked_again_after_longer_and_longer_waits(
    world: World, status: int
) -> None:
    world.fail(Kind.STATUS, times=2, status=status)
    assert text(world, world.client()).startswith("1:0:")
    assert world.waits.seconds == [15.0, 0.5, 30.0, 0.5]
    assert world.waits.told == [
        f"the server is busy ({status}): waiting {wait} s" for wait in (15, 30)
    ]


def test_it_is_not_asked_for_ever(world: World) -> None:
    world.fail(Kind.STATUS, times=99, status=503)
    error = fails(world, world.client())
    assert error.cause is Unfetched.REFUSED
    assert "is refused: 503 Service Unavailable" in str(error)
    assert '"503 from this server"' in str(error)
    assert len(world.manner.requests) == N_ASKED
    assert world.waits.seconds == [15.0, 0.5, 30.0, 0.5, 60.0, 0.5]


def test_it_is_left_alone_for_as_long_as_it_asks(world: World) -> None:
    at = datetime.fromtimestamp(NOW_S + 90.0, UTC)
    world.fail(Kind.STATUS, retry_after="7")
    world.fail(Kind.STATUS, retry_after=format_datetime(at, usegmt=True))
    world.fail(Kind.STATUS, retry_after="soon")
    text(world, world.client())
    assert world.waits.seconds == [7.0, 0.5, 90.0, 0.5, 60.0, 0.5]


def test_a_server_that_wants_to_be_left_alone_for_long_is_not_waited_for(world: World) -> None:
    world.fail(Kind.STATUS, retry_after=f"{LONGEST_WAIT_S + 1:.0f}")
    assert fails(world, world.client()).cause is Unfetched.REFUSED
    assert (len(world.manner.requests), world.waits.seconds) == (1, [])


@pytest.mark.parametrize(
    ("status", "cause", "told"),
    [
        (404, Unfetched.NOT_THERE, "is not there, or not yet: the server answers 404 Not Found"),
        (410, Unfetched.NOT_THERE, "410 Gone"),
        (416, Unfetched.WRONG, "has not the bytes asked for"),
        (401, Unfetched.REFUSED, "is refused: 401 Unauthorized"),
    ],
)
def test_what_waiting_does_not_help_is_told_at_once(
    world: World, status: int, cause: Unfetched, told: str
) -> None:
    world.fail(Kind.STATUS, status=status)
    error = fails(world, world.client())
    assert error.cause is cause
    assert told in str(error)
    assert len(world.manner.requests) == 1


def test_a_page_in_place_of_data_is_refused_by_its_title(world: World) -> None:
    world.fail(Kind.PAGE)
    error = fails(world, world.client())
    assert error.cause is Unfetched.REFUSED
    assert 'sends a web page called "Sign in to the guest network", not a forecast.' in str(error)
    assert "Is there a sign-in page or a proxy between?" in str(error)


def test_a_page_that_says_not_present_means_not_yet(
    world: World, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = b"<html><title>Error</title><body>data file is not present: f003</body></html>"
    monkeypatch.setattr("bench.forecastserver.server.PAGE", page)
    world.fail(Kind.PAGE)
    assert fails(world, world.client()).cause is Unfetched.NOT_THERE


def test_a_text_that_is_too_long_or_cut_is_refused(world: World) -> None:
    with pytest.raises(FetchError, match="sends more than 10 bytes"):
        world.client().text(f"{world.base}{PATH}.idx", 0.0, 10)
    world.fail(Kind.CUT, after_bytes=200)
    assert fails(world, world.client()).cause is Unfetched.CUT


def test_a_server_that_is_not_there_is_asked_again_and_then_told() -> None:
    waits: list[float] = []
    with socket.socket() as taken:  # a port on which nobody listens
        taken.bind(("127.0.0.1", 0))
        client = Client(waits.append, lambda: NOW_S)
        with pytest.raises(
            FetchError, match=r"cannot be reached: .* Is there a network\?"
        ) as caught:
            client.text(f"http://127.0.0.1:{taken.getsockname()[1]}/f", 1.0, 100)
    assert caught.value.cause is Unfetched.CUT
    assert waits == [2.0, 1.0, 4.0, 1.0, 8.0, 1.0]


def test_a_server_without_a_known_address_is_told_so(monkeypatch: pytest.MonkeyPatch) -> None:
    def unknown(*_: object, **__: object) -> None:
        raise socket.gaierror(-2, "Name or service not known")

    monkeypatch.setattr(socket, "getaddrinfo", unknown)
    with pytest.raises(FetchError, match=r"no address is known for a\.example:81"):
        Client(lambda _: None, lambda: NOW_S).text("http://a.example:81/f", 1.0, 100)
    assert server_of("http://a.example:81/f") == "a.example:81"


def test_a_proxy_is_asked_in_place_of_the_server(world: World) -> None:
    client = Client(lambda _: None, lambda: NOW_S, proxy_of=lambda _: world.base)
    assert client.text(f"http://a.example{PATH}.idx", 0.0, 100_000).startswith("1:0:")
    assert world.targets == [f"http://a.example{PATH}.idx"]
