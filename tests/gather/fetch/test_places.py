"""Folders of the user: where fetched files are kept, where own addresses lie."""

from pathlib import Path

import pytest

from farglide.errors import InputError
from farglide.gather.fetch.places import fetched_folder, own_addresses


def test_fetched_files_lie_in_the_users_cache(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("HOME", str(tmp_path))
    assert fetched_folder({}) == tmp_path / ".cache" / "farglide" / "fetched"
    both = {"FARGLIDE_CACHE": "/a", "XDG_CACHE_HOME": "/b"}
    assert fetched_folder(both) == Path("/a/farglide/fetched")


def test_own_addresses_count_where_there_are_any(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("HOME", str(tmp_path))
    assert own_addresses({}) is None
    for root, settings in ((tmp_path / ".config", {}), (tmp_path / "x", {"XDG_CONFIG_HOME": "x"})):
        monkeypatch.chdir(tmp_path)
        (root / "farglide").mkdir(parents=True)
        (root / "farglide" / "addresses.toml").write_text("")
        found = own_addresses(settings)
        assert found is not None
        assert found.samefile(root / "farglide" / "addresses.toml")


def test_where_nobody_is_at_home_a_folder_is_asked_for(monkeypatch: pytest.MonkeyPatch) -> None:
    def homeless() -> Path:
        raise RuntimeError("no home")

    monkeypatch.setattr(Path, "home", staticmethod(homeless))
    assert own_addresses({}) is None
    with pytest.raises(InputError, match="Set FARGLIDE_CACHE to a folder"):
        fetched_folder({})
