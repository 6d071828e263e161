"""The swap: the old pack or the new one stands at every moment, and nobody's file is replaced."""

import os
from pathlib import Path

import pytest

from farglide.errors import InputError, SourceError
from farglide.gather import swap
from farglide.gather.swap import pack_place, staged
from farglide.packfile.manifest import Manifest, manifest_text, sha256_of


def write_pack(folder: Path, text: str) -> None:
    """Write a pack whose parts all hold a text."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "maps").mkdir()
    names = ("flight.toml", "winds.json", "maps/ground.tif")
    for name in names:
        (folder / name).write_text(text)
    parts = {name: sha256_of(folder / name) for name in names}
    (folder / "pack.json").write_text(manifest_text(Manifest(parts=parts, files={})))


def texts(folder: Path) -> set[str]:
    return {(folder / name).read_text() for name in ("flight.toml", "winds.json")}


def beside(folder: Path) -> list[str]:
    return sorted(one.name for one in folder.parent.iterdir())


def failing(stage: Path, error: BaseException) -> None:
    """Write half a pack, and fail."""
    (stage / "flight.toml").write_text("new")
    raise error


@pytest.fixture
def pack(tmp_path: Path) -> Path:
    folder = tmp_path / "home" / "pack"
    write_pack(folder, "old")
    return folder


def test_a_new_pack_takes_the_place_of_the_old_one(pack: Path) -> None:
    with staged(pack_place(pack, {}), {}) as stage:
        write_pack(stage, "new")
        assert texts(pack) == {"old"}
    assert texts(pack) == {"new"}
    assert beside(pack) == ["pack"]


def test_a_pack_goes_where_nothing_or_an_empty_folder_is(tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    for place in (tmp_path / "empty", tmp_path / "a" / "b"):
        with staged(pack_place(place, {}), {}) as stage:
            write_pack(stage, "new")
        assert texts(place) == {"new"}


def test_an_error_on_the_way_leaves_the_old_pack_and_no_trace(pack: Path) -> None:
    for error in (KeyboardInterrupt(), OSError(28, os.strerror(28))):
        with pytest.raises((KeyboardInterrupt, SourceError)) as caught, staged(pack, {}) as stage:
            failing(stage, error)
    assert "No space left on device. What was there is as it was." in str(caught.value)
    assert texts(pack) == {"old"}
    assert beside(pack) == ["pack"]


def test_a_swap_whose_second_move_fails_puts_the_old_pack_back(
    pack: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    rename = Path.rename

    def half(self: Path, target: Path) -> Path:
        if self.name.endswith(".part"):
            raise OSError(5, "Input/output error")
        return rename(self, target)

    monkeypatch.setattr(Path, "rename", half)
    with pytest.raises(SourceError, match="Input/output error"), staged(pack, {}) as stage:
        write_pack(stage, "new")
    assert texts(pack) == {"old"}
    assert beside(pack) == ["pack"]


@pytest.mark.parametrize(
    "name", ["notes.txt", "maps/notes.txt", ".hidden", "maps/deep/er.txt", "empty/"]
)
def test_what_is_not_the_packs_is_never_replaced(pack: Path, name: str) -> None:
    path = pack / name
    path.parent.mkdir(exist_ok=True, parents=True)
    path.mkdir() if name.endswith("/") else path.write_text("mine")
    with pytest.raises(InputError, match="not as any pack left it") as caught:
        pack_place(pack, {})
    assert name.rstrip("/") in str(caught.value)
    # a file that appears while the new pack is written counts too
    with pytest.raises(InputError), staged(pack, {}) as stage:
        write_pack(stage, "new")
    assert texts(pack) == {"old"}
    assert path.exists()
    assert beside(pack) == ["pack"]


def test_a_changed_part_is_a_persons_unless_the_new_pack_holds_it(
    pack: Path, tmp_path: Path
) -> None:
    (pack / "flight.toml").write_text("edited")
    with pytest.raises(InputError, match=r"It holds flight\.toml, not as any pack left it"):
        pack_place(pack, {})
    other = tmp_path / "mine.toml"
    other.write_text("other")
    with pytest.raises(InputError):
        pack_place(pack, {"flight.toml": other})
    assert pack_place(pack, {"flight.toml": pack / "flight.toml"}) == pack


def test_a_folder_of_hand_written_files_is_no_pack(tmp_path: Path) -> None:
    for name in ("flight.toml", "winds.json", "pack.json", "z"):
        (tmp_path / name).write_text("mine")
    with pytest.raises(InputError, match=r"flight\.toml, pack\.json, winds\.json and 1 more"):
        pack_place(tmp_path, {})


def test_links_files_and_the_folder_one_stands_in_are_refused(
    pack: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    link = tmp_path / "link"
    link.symlink_to(pack, target_is_directory=True)
    with pytest.raises(InputError, match="It is a link: name the folder it leads to"):
        pack_place(link, {})
    with pytest.raises(InputError, match="This is a file"):
        pack_place(pack / "flight.toml", {})
    with pytest.raises(InputError, match="File name too long"):
        pack_place(tmp_path / ("x" * 300), {})
    monkeypatch.chdir(pack / "maps")
    with pytest.raises(InputError, match="You stand in it"):
        pack_place(Path(".."), {})
    (pack / "link").symlink_to(tmp_path)
    monkeypatch.chdir(tmp_path)
    with pytest.raises(InputError, match="It holds link"):
        pack_place(pack, {})


def test_what_a_crash_left_beside_is_cleared_and_other_things_stay(pack: Path) -> None:
    stale = pack.parent / f".pack.{'0' * 16}.part"
    write_pack(stale, "half")
    mine = pack.parent / ".pack.mine.part"
    mine.mkdir()
    write_pack(pack.parent / ".pack.old", "older")  # the crash came after the second move
    with staged(pack, {}) as stage:
        write_pack(stage, "new")
    assert beside(pack) == [".pack.mine.part", "pack"]
    assert texts(pack) == {"new"}


def test_a_swap_cut_between_its_moves_is_undone_first(pack: Path) -> None:
    pack.rename(pack.parent / ".pack.old")
    with pytest.raises(SourceError), staged(pack, {}) as stage:  # no new pack comes of it
        failing(stage, OSError(28, os.strerror(28)))
    assert texts(pack) == {"old"}
    assert beside(pack) == ["pack"]


def test_folders_that_cannot_be_opened_are_not_kept_by_name(tmp_path: Path) -> None:
    swap._keep_names(tmp_path / "gone")  # nothing to keep, and no error
    assert not (tmp_path / "gone").exists()
