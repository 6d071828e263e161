"""Out files: a folder that can be none is refused at once, and files are written whole or not."""

from pathlib import Path

import pytest

from farglide.cli.outfiles import WRITTEN, check_apart, check_out, write_texts
from farglide.errors import InputError


def test_what_can_become_a_folder_passes(tmp_path: Path) -> None:
    check_out(None)
    check_out(tmp_path)
    check_out(tmp_path / "not" / "there yet")
    assert list(tmp_path.iterdir()) == []


def test_a_file_is_no_folder(tmp_path: Path) -> None:
    file = tmp_path / "file"
    file.write_text("mine", encoding="utf-8")
    with pytest.raises(InputError, match="This is a file") as caught:
        check_out(file)
    assert caught.value.name == "--out"
    assert caught.value.value == file


def test_a_name_that_no_disk_takes_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"allowed: a folder\. File name too long"):
        check_out(tmp_path / ("x" * 300))


def test_a_folder_that_cannot_be_written_is_refused_before_the_work(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked = []

    def refuse(**given: object) -> None:
        asked.append(given["dir"])
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr("farglide.cli.outfiles.TemporaryFile", refuse)
    with pytest.raises(InputError, match=r"--out is .*allowed: a folder that can be written"):
        check_out(tmp_path / "not" / "there yet")
    assert asked == [tmp_path]


def test_a_link_to_nowhere_is_refused_before_the_work(tmp_path: Path) -> None:
    link = tmp_path / "link"
    link.symlink_to(tmp_path / "none")
    for folder in (link, link / "deeper"):
        with pytest.raises(InputError, match=r"is a link to what is not there\. Choose another"):
            check_out(folder)
    (tmp_path / "none").mkdir()
    check_out(link)


@pytest.mark.parametrize("name", WRITTEN)
def test_a_folder_where_a_file_is_to_be_is_refused_before_the_work(
    name: str, tmp_path: Path
) -> None:
    (tmp_path / name).mkdir()
    with pytest.raises(InputError, match=f"{name} in it is a folder. Choose another folder"):
        check_out(tmp_path)
    assert [one.name for one in tmp_path.iterdir()] == [name]


@pytest.mark.parametrize("names", [("pack.json", "flight.toml"), ("flight.toml", "winds.json")])
def test_nothing_is_written_into_a_pack(names: tuple[str, ...], tmp_path: Path) -> None:
    for name in names:
        (tmp_path / name).write_text("{}")
    (tmp_path / "maps").mkdir()
    link = tmp_path.parent / f"{tmp_path.name}-link"
    link.symlink_to(tmp_path)
    for folder in (tmp_path, tmp_path / "out", tmp_path / "maps" / ".", link):
        with pytest.raises(InputError, match="a folder that is no pack") as caught:
            check_out(folder)
        assert str(tmp_path.resolve()) in str(caught.value)
    check_out(tmp_path.parent)


def test_texts_and_bytes_are_written_into_a_new_folder(tmp_path: Path) -> None:
    folder = tmp_path / "a" / "b"
    write_texts({"one.txt": "12 °", "two.png": b"\x89"}, folder)
    assert (folder / "one.txt").read_bytes() == "12 °".encode()
    assert (folder / "two.png").read_bytes() == b"\x89"
    assert sorted(one.name for one in folder.iterdir()) == ["one.txt", "two.png"]


def test_one_that_cannot_be_written_leaves_none(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="Choose another folder"):
        write_texts({"one.txt": "1", "none/two.txt": "2"}, tmp_path)
    assert list(tmp_path.iterdir()) == []
    file = tmp_path / "file"
    file.write_text("mine", encoding="utf-8")
    with pytest.raises(InputError, match="a folder that can be written"):
        write_texts({"one.txt": "1"}, file)
    assert file.read_text(encoding="utf-8") == "mine"


def test_a_part_of_somebody_else_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "one.txt.part").write_text("mine")
    outside = tmp_path / "outside"
    outside.write_text("mine")
    (tmp_path / "two.txt.part").symlink_to(outside)
    write_texts({"one.txt": "1", "two.txt": "2"}, tmp_path)
    assert (tmp_path / "one.txt").read_text() == "1"
    assert (tmp_path / "one.txt.part").read_text() == "mine"
    assert outside.read_text() == "mine"


@pytest.mark.parametrize("name", WRITTEN)
def test_a_file_of_the_flight_is_never_written_over(name: str, tmp_path: Path) -> None:
    mine = tmp_path / name
    check_apart(tmp_path, [mine])  # not there: nothing is lost
    mine.write_text("mine")
    for folder in (tmp_path, tmp_path / "." / "sub" / ".."):
        (tmp_path / "sub").mkdir(exist_ok=True)
        with pytest.raises(InputError, match="there is a file of this flight"):
            check_apart(folder, ["other.csv", str(mine)])
    check_apart(tmp_path / "sub", [mine])
    check_apart(tmp_path, [tmp_path / "winds.csv"])
    check_apart(None, [mine])
