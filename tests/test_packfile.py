"""The pack: what is saved opens the same; what is damaged is refused, never half believed."""

import json
import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from farglide.air.column import Sounding
from farglide.errors import SourceError
from farglide.packfile import flight_path, open_pack, save_pack
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


def test_a_pack_opens_as_it_was_saved(pack: Pack, tmp_path: Path) -> None:
    folder = tmp_path / "not" / "there yet"
    save_pack(pack, folder)
    assert same(open_pack(folder), pack)
    assert flight_path(folder).read_text(encoding="utf-8") == TEXT
    assert sorted(path.name for path in folder.iterdir()) == ["flight.toml", "winds.json"]


def test_a_pack_without_time_and_place_opens_the_same(pack: Pack, tmp_path: Path) -> None:
    nan = math.nan
    unknown = replace(pack, sounding=replace(pack.sounding, lat_deg=nan, lon_deg=nan, t_s=nan))
    save_pack(unknown, tmp_path)
    assert same(open_pack(tmp_path), unknown)
    assert not same(unknown, pack)


def test_saving_again_replaces(pack: Pack, tmp_path: Path) -> None:
    save_pack(pack, tmp_path)
    save_pack(replace(pack, flight_text="another"), tmp_path)
    assert open_pack(tmp_path).flight_text == "another"


def test_a_folder_without_a_pack_says_how_to_make_one(tmp_path: Path) -> None:
    with pytest.raises(SourceError) as caught:
        open_pack(tmp_path / "nowhere")
    assert "holds no pack. Make one with: farglide gather FILE --pack DIR" in str(caught.value)


def test_a_folder_that_cannot_be_written_is_told(pack: Pack, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(SourceError, match="cannot be written"):
        save_pack(pack, tmp_path / "file" / "pack")


@pytest.mark.parametrize(
    "text",
    [
        "",
        "{",
        "null",
        "[]",
        "[" * 100_000,
        '{"form": "farglide pack 2"}',
        '{"form": "farglide pack 1"}',
        '{"form": "farglide pack 1", "levels": [1, 2]}',
        "1" + "0" * 5000,
    ],
)
def test_documents_of_another_kind_are_refused(pack: Pack, tmp_path: Path, text: str) -> None:
    save_pack(pack, tmp_path)
    (tmp_path / "winds.json").write_text(text)
    with pytest.raises(SourceError, match="Gather it again"):
        open_pack(tmp_path)


def test_a_pack_without_its_flight_is_refused(pack: Pack, tmp_path: Path) -> None:
    save_pack(pack, tmp_path)
    flight_path(tmp_path).unlink()
    with pytest.raises(SourceError, match="is damaged"):
        open_pack(tmp_path)
    flight_path(tmp_path).write_bytes(b"\xff\xfe\xff")
    with pytest.raises(SourceError, match="is damaged"):
        open_pack(tmp_path)


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
KEYS = ("form", "origin", "notes", "lat_deg", "lon_deg", "t_s", "run_t_s", "levels")


@settings(
    max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(data=st.data())
def test_wrong_values_open_to_a_pack_or_are_refused(
    pack: Pack, tmp_path: Path, data: st.DataObject
) -> None:
    # Whatever stands in a key, a level or a number: a checked pack or one kind of error.
    save_pack(pack, tmp_path)
    path = tmp_path / "winds.json"
    document = json.loads(path.read_text())
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
    try:
        opened = open_pack(tmp_path)
    except SourceError:
        return
    assert np.isfinite(opened.sounding.p_pa).all()


@settings(
    max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(data=st.data())
def test_damaged_bytes_open_to_a_pack_or_are_refused(
    pack: Pack, tmp_path: Path, data: st.DataObject
) -> None:
    save_pack(pack, tmp_path)
    path = data.draw(st.sampled_from((tmp_path / "winds.json", flight_path(tmp_path))))
    raw = bytearray(path.read_bytes())
    for _ in range(data.draw(st.integers(1, 4))):
        raw[data.draw(st.integers(0, len(raw) - 1))] = data.draw(st.integers(0, 255))
    path.write_bytes(bytes(raw[: data.draw(st.integers(0, len(raw)))]))
    try:
        opened = open_pack(tmp_path)
    except SourceError:
        return
    assert np.isfinite(opened.sounding.t_k).all()
