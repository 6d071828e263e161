"""Proxies: as the settings of this computer name them."""

import pytest

from farglide.gather.fetch.proxies import proxy_of


@pytest.fixture(autouse=True)
def bare(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("http_proxy", "https_proxy", "all_proxy", "no_proxy"):
        monkeypatch.delenv(name, raising=False)
        monkeypatch.delenv(name.upper(), raising=False)


def test_the_proxy_for_the_scheme_is_taken(monkeypatch: pytest.MonkeyPatch) -> None:
    assert proxy_of("https://a.example/f") == ""
    monkeypatch.setenv("https_proxy", "http://gate.example:3128")
    monkeypatch.setenv("http_proxy", "gate.example:80")
    assert proxy_of("https://a.example/f") == "http://gate.example:3128"
    assert proxy_of("http://a.example/f") == "http://gate.example:80"


def test_servers_that_need_none_are_asked_directly(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("https_proxy", "http://gate.example:3128")
    monkeypatch.setenv("no_proxy", "a.example,127.0.0.1")
    assert proxy_of("https://a.example/f") == ""
    assert proxy_of("https://b.example/f") == "http://gate.example:3128"
