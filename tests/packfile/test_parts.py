"""Parts: each state is told from the others, and a pack is found where it stands."""

import hashlib
from pathlib import Path

import pytest

from farglide.errors import SourceError
from farglide.packfile.manifest import Manifest
from farglide.packfile.parts import State, aside_of, standing, state_of, states_of

SHA = hashlib.sha256(b"ground").hexdigest()


def test_each_state_of_a_part(tmp_path: Path) -> None:
    pack = tmp_path / "pack"
    (pack / "maps").mkdir(parents=True)
    (pack / "maps" / "whole").write_bytes(b"ground")
    (pack / "changed").write_bytes(b"grovnd")
    (pack / "folder").mkdir()
    (pack / "link").symlink_to(pack / "maps" / "whole")
    (pack / "linked").symlink_to(pack / "maps", target_is_directory=True)
    names = ("maps/whole", "changed", "gone", "folder", "link", "linked/whole")
    states = states_of(pack, Manifest(parts=dict.fromkeys(names, SHA), files={}))
    assert list(states.values()) == [
        State.WHOLE, State.CHANGED, State.MISSING, State.FOREIGN, State.FOREIGN, State.FOREIGN,
    ]  # fmt: skip


def test_a_part_that_cannot_be_read_is_told(tmp_path: Path) -> None:
    with pytest.raises(SourceError, match="cannot be read: File name too long"):
        state_of(tmp_path, "x" * 300, SHA)


def test_where_a_pack_stands(tmp_path: Path) -> None:
    pack, aside = tmp_path / "pack", tmp_path / ".pack.old"
    assert aside_of(pack) == aside
    assert standing(pack) == pack  # neither is there
    aside.mkdir()
    assert standing(pack) == pack  # what is aside is no pack
    (aside / "pack.json").write_text("{}")
    assert standing(pack) == aside
    pack.mkdir()
    assert standing(pack) == pack
