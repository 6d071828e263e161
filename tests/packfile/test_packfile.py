"""The pack: what is gathered opens the same; what is damaged is refused, never half believed."""

import json
import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from farglide.air.sounding import Sounding
from farglide.errors import SourceError
from farglide.flightfile.flightfile import FlightFile
from farglide.gather.packing import pack_into
from farglide.packfile.manifest import Manifest, manifest_text, read_manifest, sha256_of
from farglide.packfile.packfile import EDITED, is_flight_of, open_pack
from farglide.sortie.pack import Pack

TEXT = '[flight]\nname = "Ämber – evening"\n'
ARRAYS = ("gph_m", "p_pa", "t_k", "relative_humidity_ratio", "u_mps", "v_mps")


def same(a: Pack, b: Pack) -> bool:
    plain = all(
        getattr(a.sounding, name) == getattr(b.sounding, name)
        or (math.isnan(getattr(a.sounding, name)) and math.isnan(getattr(b.sounding, name)))
        for name in ("lat_deg", "lon_deg", "t_s")
    )
    arrays = all(
        np.array_equal(getattr(a.sounding, name), getattr(b.sounding, name), equal_nan=True)
        for name in ARRAYS
    )
    return (
        plain
        and arrays
        and a.sounding.origin == b.sounding.origin
        and a.sounding.notes == b.sounding.notes
        and a.flight_text == b.flight_text
    )


@pytest.fixture
def pack(demo_sounding: Sounding) -> Pack:
    humid = demo_sounding.relative_humidity_ratio.copy()
    humid[::3] = math.nan
    sounding = replace(
        demo_sounding, relative_humidity_ratio=humid, notes=("one “note”", "another")
    )
    return Pack(sounding=sounding, flight_text=TEXT)


@pytest.fixture
def folder(pack: Pack, demo_flight: FlightFile, tmp_path: Path) -> Path:
    """Return the folder of a pack with the ground of the demo."""
    pack_into(demo_flight, pack, tmp_path / "not" / "pack")
    return tmp_path / "not" / "pack"


def renewed(folder: Path) -> None:
    """Give a pack whose parts were changed the checksums of what they are now."""
    old = read_manifest(folder)
    parts = {name: sha256_of(folder / name) for name in old.parts}
    text = manifest_text(Manifest(parts=parts, files=old.files))
    (folder / "pack.json").write_text(text, encoding="utf-8")


def test_a_pack_opens_as_it_was_gathered(pack: Pack, folder: Path) -> None:
    opened = open_pack(folder)
    assert same(opened.pack, pack)
    assert opened.notes == ()
    assert (folder / "flight.toml").read_text(encoding="utf-8") == TEXT
    assert sorted(path.name for path in folder.iterdir()) == [
        "amber-evening-ground.tif", "flight.toml", "pack.json", "winds.json",
    ]  # fmt: skip


def test_a_pack_without_time_and_place_opens_the_same(
    pack: Pack, demo_flight: FlightFile, tmp_path: Path
) -> None:
    nan = math.nan
    unknown = replace(pack, sounding=replace(pack.sounding, lat_deg=nan, lon_deg=nan, t_s=nan))
    pack_into(demo_flight, unknown, tmp_path / "pack")
    assert same(open_pack(tmp_path / "pack").pack, unknown)
    assert not same(unknown, pack)


def test_a_folder_without_a_pack_says_how_to_make_one(tmp_path: Path) -> None:
    with pytest.raises(SourceError) as caught:
        open_pack(tmp_path / "nowhere")
    assert "holds no pack. Make one with: farglide gather FILE --pack DIR" in str(caught.value)


@pytest.mark.parametrize("name", ["winds.json", "amber-evening-ground.tif", "pack.json"])
def test_one_flipped_bit_is_noticed(folder: Path, name: str) -> None:
    path = folder / name
    whole = path.read_bytes()
    for place in np.linspace(0, len(whole) - 1, 40).astype(int):
        flipped = bytearray(whole)
        flipped[place] ^= 1
        path.write_bytes(bytes(flipped))
        with pytest.raises(SourceError, match="Gather it again") as caught:
            open_pack(folder)
        assert name in str(caught.value)
    path.write_bytes(whole)
    open_pack(folder)


def test_an_edited_flight_file_is_told_and_taken(folder: Path) -> None:
    flight = folder / "flight.toml"
    flight.write_text(TEXT + "# launch later\n", encoding="utf-8")
    opened = open_pack(folder)
    assert opened.notes == (EDITED,)
    assert opened.pack.flight_text.endswith("# launch later\n")


def test_a_part_that_is_gone_or_a_link_is_refused(folder: Path, tmp_path: Path) -> None:
    ground = folder / "amber-evening-ground.tif"
    ground.rename(tmp_path / "ground.tif")
    with pytest.raises(SourceError, match="is missing: the pack is damaged"):
        open_pack(folder)
    ground.symlink_to(tmp_path / "ground.tif")  # the same bytes, but not in the pack
    with pytest.raises(SourceError, match="is a link, or no plain file"):
        open_pack(folder)


def test_a_pack_is_found_aside_while_another_takes_its_place(folder: Path, pack: Pack) -> None:
    folder.rename(folder.parent / ".pack.old")
    opened = open_pack(folder)
    assert same(opened.pack, pack)
    assert opened.flight_path == folder.parent / ".pack.old" / "flight.toml"


def test_the_flight_file_of_a_pack_is_known_as_its_own(folder: Path, tmp_path: Path) -> None:
    assert is_flight_of(folder, folder / ".." / "pack" / "flight.toml")
    other = tmp_path / "flight.toml"
    other.write_text(TEXT, encoding="utf-8")
    assert not is_flight_of(folder, other)
    assert not is_flight_of(tmp_path, other)  # no pack there


@pytest.mark.parametrize(
    "text", ["", "{", "null", "[]", "[" * 100_000, '{"levels": [1, 2]}', "1" + "0" * 5000]
)
def test_winds_of_another_kind_are_refused(folder: Path, text: str) -> None:
    (folder / "winds.json").write_text(text)
    renewed(folder)
    with pytest.raises(SourceError, match=r"winds\.json: is damaged.*Gather it again"):
        open_pack(folder)


def test_a_pack_without_its_flight_is_refused(folder: Path) -> None:
    (folder / "flight.toml").write_bytes(b"\xff\xfe\xff")
    with pytest.raises(SourceError, match="is damaged"):
        open_pack(folder)
    (folder / "flight.toml").unlink()
    with pytest.raises(SourceError, match="is missing"):
        open_pack(folder)


WRONG = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(),
    st.just(10**400),
    st.floats(),
    st.text(max_size=5),
    st.lists(st.one_of(st.none(), st.floats(), st.text(max_size=3)), max_size=3),
    st.dictionaries(st.text(max_size=3), st.integers(), max_size=2),
)
KEYS = ("origin", "notes", "lat_deg", "lon_deg", "t_s", "run_t_s", "levels")
GATHERED: dict[str, bytes] = {}


@settings(
    max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(data=st.data())
def test_wrong_values_open_to_a_pack_or_are_refused(folder: Path, data: st.DataObject) -> None:
    # Whatever stands in a key, a level or a number: a checked pack or one kind of error.
    path = folder / "winds.json"
    document = json.loads(GATHERED.setdefault("winds", path.read_bytes()))
    what = data.draw(st.sampled_from(("key", "array", "number", "gone")))
    value = data.draw(WRONG)
    if what == "key":
        document[data.draw(st.sampled_from(KEYS))] = value
    elif what == "gone":
        document.pop(data.draw(st.sampled_from(KEYS)))
    else:
        name = data.draw(st.sampled_from(ARRAYS))
        if what == "array":
            document["levels"][name] = value
        else:
            i = data.draw(st.integers(0, len(document["levels"][name]) - 1))
            document["levels"][name][i] = value
    path.write_text(json.dumps(document))
    renewed(folder)
    try:
        opened = open_pack(folder)
    except SourceError:
        return
    assert np.isfinite(opened.pack.sounding.p_pa).all()


def test_winds_larger_than_any_are_not_read(folder: Path) -> None:
    with (folder / "winds.json").open("ab") as file:
        file.truncate(20_000_001)
    renewed(folder)
    with pytest.raises(SourceError, match="it is larger than winds of a pack can be"):
        open_pack(folder)
