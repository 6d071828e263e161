"""The manifest: parts and their checksums, written so that no byte of it may change."""

import hashlib
import json
from pathlib import Path

import pytest

from farglide.errors import SourceError
from farglide.packfile.manifest import (
    Manifest,
    is_inside,
    manifest_text,
    read_manifest,
    sha256_of,
)

ONE = "ab" * 32
WHOLE = Manifest(
    parts={"flight.toml": ONE, "winds.json": ONE, "files/höhe.tif": ONE},
    files={"/far/höhe.tif": "files/höhe.tif"},
)


def written(folder: Path, text: str) -> Path:
    (folder / "pack.json").write_bytes(text.encode())
    return folder


def test_a_manifest_reads_as_it_was_written(tmp_path: Path) -> None:
    assert read_manifest(written(tmp_path, manifest_text(WHOLE))) == WHOLE


def test_the_checksum_of_a_file_is_that_of_its_bytes(tmp_path: Path) -> None:
    # FIPS 180-4's example: the three bytes "abc" (from memory)
    (tmp_path / "abc").write_bytes(b"abc")
    assert sha256_of(tmp_path / "abc") == (
        "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    )
    many = bytes(range(256)) * 9000  # more than is read at once
    (tmp_path / "many").write_bytes(many)
    assert sha256_of(tmp_path / "many") == hashlib.sha256(many).hexdigest()


def test_each_changed_byte_is_noticed(tmp_path: Path) -> None:
    data = manifest_text(WHOLE).encode()
    for i in range(len(data)):
        changed = bytearray(data)
        changed[i] ^= 1
        (tmp_path / "pack.json").write_bytes(bytes(changed))
        with pytest.raises(SourceError, match="is damaged"):
            read_manifest(tmp_path)


@pytest.mark.parametrize(
    ("parts", "files", "words"),
    [
        ({"flight.toml": ONE, "winds.json": ONE, "../up.tif": ONE}, {}, "names '../up.tif'"),
        ({"flight.toml": ONE, "winds.json": ONE, "/etc/up.tif": ONE}, {}, "names '/etc/up.tif'"),
        ({"flight.toml": ONE, "winds.json": ONE}, {"a.tif": "b.tif"}, "names 'b.tif'"),
        ({"flight.toml": ONE}, {}, "it lacks a part"),
    ],
)
def test_a_manifest_that_leads_out_of_the_pack_is_refused(
    tmp_path: Path, parts: dict[str, str], files: dict[str, str], words: str
) -> None:
    text = manifest_text(Manifest(parts=parts, files=files))
    with pytest.raises(SourceError, match=words):
        read_manifest(written(tmp_path, text))


@pytest.mark.parametrize("text", ["", "[]", "null", '{"form": "farglide pack 2"}', "[" * 99_999])
def test_documents_of_another_kind_are_refused(tmp_path: Path, text: str) -> None:
    with pytest.raises(SourceError, match=r"is damaged.*Gather it again"):
        read_manifest(written(tmp_path, text))


def test_a_manifest_that_is_a_link_huge_or_no_file_is_refused(tmp_path: Path) -> None:
    (tmp_path / "huge").mkdir()
    with pytest.raises(SourceError, match="is no manifest of a pack"):
        read_manifest(written(tmp_path / "huge", " " * 1_000_001))
    (tmp_path / "link").mkdir()
    (tmp_path / "link" / "pack.json").symlink_to(tmp_path / "huge" / "pack.json")
    with pytest.raises(SourceError, match="is no manifest of a pack"):
        read_manifest(tmp_path / "link")
    (tmp_path / "folder" / "pack.json").mkdir(parents=True)
    with pytest.raises(SourceError, match="cannot be read"):
        read_manifest(tmp_path / "folder")


def test_a_pack_of_an_older_version_is_told_from_none(tmp_path: Path) -> None:
    with pytest.raises(SourceError, match="holds no pack"):
        read_manifest(tmp_path)
    (tmp_path / "winds.json").write_text(json.dumps({"form": "farglide pack 1"}))
    (tmp_path / "flight.toml").write_text("")
    with pytest.raises(SourceError, match="older version, without checksums"):
        read_manifest(tmp_path)


@pytest.mark.parametrize("name", ["", ".", "a//b", "./a", "a/", "a/../b", "\\\\a\\b", "a\0"])
def test_names_that_are_not_plainly_inside(name: str) -> None:
    assert not is_inside(name)
