"""The file of addresses: ours, the user's in its place, and every problem at once."""

import re
import tomllib
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from farglide.errors import FlightFileError
from farglide.gather.fetch.addresses import read_addresses, sources_of
from farglide.gather.fetch.inventory import read_index
from farglide.gather.fetch.source import Gives, Kind

from .server import real_index

OURS = read_addresses()


@pytest.fixture
def own(tmp_path: Path) -> Path:
    return tmp_path / "mine.toml"


def test_ours_has_each_kind_of_data_with_its_licence() -> None:
    assert [one.key for one in OURS if one.gives is Gives.WINDS] == [
        "gfs_cropped", "gfs_whole", "gfs_whole_0p50", "gfs_whole_1p00",
    ]  # fmt: skip
    assert {one.gives for one in OURS} == set(Gives)
    assert {one.kind for one in OURS} == set(Kind)
    assert all(one.licence and one.attribution and one.producer for one in OURS)
    members = next(one for one in OURS if one.gives is Gives.MEMBERS).members
    assert (members[0], members[-1], len(members)) == ("gec00", "gep30", 31)


def test_what_ours_asks_for_stands_in_the_real_indices() -> None:
    gfs = read_index(real_index("gfs_0p25_20260723.idx"), "gfs")
    there = {(line.field, line.hpa) for line in gfs}
    for source in OURS[:2]:
        assert set(source.pairs(source.levels_hpa)) <= there
        assert source.least_messages <= len(gfs)
    gefs = read_index(real_index("gefs_mean_20260723.idx"), "gefs")
    whole = next(one for one in OURS if one.key == "gefs_whole")
    assert set(whole.pairs(whole.levels_hpa)) == {
        (line.field, line.hpa) for line in gefs if line.hpa and line.field in whole.fields
    }
    assert whole.least_messages <= len(gefs)


def test_a_line_of_the_users_own_changes_one_address(own: Path) -> None:
    own.write_text('[gfs_whole]\nmirrors = ["http://b.example/{date}/{hour}/f{step}"]\n')
    changed = {one.key: one for one in read_addresses(own)}
    assert changed["gfs_whole"].addresses == (
        OURS[1].addresses[0], "http://b.example/{date}/{hour}/f{step}",
    )  # fmt: skip
    assert changed["gfs_cropped"] == OURS[0]
    assert [*changed] == [one.key for one in OURS]


def test_a_source_may_be_left_out_or_added(own: Path) -> None:
    text = own.with_name("addresses.toml")
    packaged = Path(sources_of.__code__.co_filename).parent / "assets" / "addresses.toml"
    section = packaged.read_text(encoding="utf-8").split("[gfs_whole]")[1].split("\n[")[0]
    text.write_text(f"[gfs_cropped]\nuse = false\n[mine]{section}")
    found = [one.key for one in read_addresses(text)]
    assert found == [*(one.key for one in OURS[1:]), "mine"]


def test_every_problem_is_told_at_once(own: Path) -> None:
    own.write_text(
        '[gfs_cropped]\npause_s = "long"\ngrids_deg = 1\n[gfs_whole]\nfields = []\n'
        '[mine]\nkind = "x"\n'
    )
    with pytest.raises(FlightFileError) as caught:
        read_addresses(own)
    told = str(caught.value)
    assert told.startswith(f"{own}: ")
    for part in (
        '[gfs_cropped] pause_s: is "long"; allowed: 0 to 600.',
        "[gfs_cropped] grids_deg: is not a key of this section. Did you mean grid_deg?",
        "[gfs_whole] fields: is missing.",
        '[mine] kind: is "x"',
        "[mine] licence: is missing.",
    ):
        assert part in told


@pytest.mark.parametrize(
    ("data", "told"),
    [
        (b"[gfs_cropped\n", "line 1: cannot be read"),
        (b"pause_s = 3\n", "[pause_s]: is not a section. Write [pause_s] on a line of its own"),
        (b"\xff\xfe", "is no UTF-8 text (byte 0)"),
        (b"#" + 1_000_001 * b"x", "is larger than 1 MB"),
    ],
)
def test_what_is_no_such_file_is_refused(own: Path, data: bytes, told: str) -> None:
    own.write_bytes(data)
    with pytest.raises(FlightFileError, match=re.escape(told)):
        read_addresses(own)


def test_a_file_that_is_not_there_is_refused(tmp_path: Path) -> None:
    with pytest.raises(FlightFileError, match="cannot be read: No such file"):
        read_addresses(tmp_path / "none.toml")
    with pytest.raises(FlightFileError, match="is no file"):
        read_addresses(tmp_path)
    sections = {f"s{k}": {} for k in range(101)}
    with pytest.raises(FlightFileError, match="holds 101 sections; allowed: 100"):
        sources_of(sections, "many.toml")


KEYS = st.sampled_from(
    [
        "kind", "gives", "address", "mirrors", "index_suffix", "field_part", "level_part", "use",
        "grid_deg", "run_hours", "steps_h", "levels_hpa", "fields", "lacking", "members", "pause_s",
        "least_messages", "package", "appears_after_h", "licence", "other",
    ]
)  # fmt: skip
VALUES: st.SearchStrategy[Any] = st.recursive(
    st.one_of(
        st.none(), st.booleans(), st.integers(), st.floats(), st.text(max_size=20),
        st.sampled_from([*Kind, *Gives, "{step}", "http://a/{date}{hour}{step}", "http://[", "\0"]),
    ),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=3), inner),
    max_leaves=8,
)  # fmt: skip


@given(st.dictionaries(st.text(max_size=5), st.one_of(VALUES, st.dictionaries(KEYS, VALUES))))
@settings(max_examples=150, deadline=None)
def test_any_sections_are_sources_or_refused(sections: dict[str, Any]) -> None:
    try:
        found = sources_of(sections, "any.toml")
    except FlightFileError as error:
        told = str(error)
    else:
        told = "".join(one.key for one in found)
    assert isinstance(told, str)


@given(st.dictionaries(KEYS, VALUES, max_size=3), st.integers(0, len(OURS) - 1))
@settings(max_examples=150, deadline=None)
def test_ours_with_any_keys_changed_are_sources_or_refused(keys: dict[str, Any], k: int) -> None:
    packaged = Path(sources_of.__code__.co_filename).parent / "assets" / "addresses.toml"
    sections = tomllib.loads(packaged.read_text(encoding="utf-8"))
    sections[OURS[k].key] |= keys
    try:
        found = sources_of(sections, "any.toml")
    except FlightFileError:
        return
    assert len(found) in (len(OURS), len(OURS) - 1)
    for one in found:
        assert one.hours[0] == 0
        assert one.pairs(one.levels_hpa) or one.kind is Kind.TILES or one.lacking
