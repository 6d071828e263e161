"""Damaged files of every format: only SourceError may come out, and never a hang."""

from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from farglide.air.sounding import Sounding
from farglide.earth.state import Place
from farglide.errors import SourceError
from farglide.sources.winds import read_winds

PLACE = Place(lat_deg=40.0, lon_deg=-105.0, amsl_m=1600.0)
FILES = {
    "bufr": "prague_20071120.bufr",
    "cdf": "darwin_20060119_231600.cdf",
    "txt": "igra_barrow_201006.txt",
    "grib2": "gfs_october_2011.grib2",
}
SHORT = settings(
    deadline=None, max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


def check(path: Path) -> Sounding | None:
    """Read the file; a sounding must be one in every respect, an error must name the file."""
    reasons = []
    try:
        sounding = read_winds(path, PLACE, 1195514100.0)
    except SourceError as error:
        reasons.append(str(error))
    if reasons:
        assert str(path) in reasons[0]
        return None
    assert (np.diff(sounding.gph_m) > 0.0).all()
    assert np.isfinite(sounding.u_mps).all()
    assert np.isfinite(sounding.p_pa).all()
    return sounding


@pytest.mark.parametrize("kind", FILES)
@SHORT
@given(share=st.floats(0.0, 1.0, exclude_max=True))
def test_truncated_files(kind: str, share: float, authorities: Path, tmp_path: Path) -> None:
    data = (authorities / FILES[kind]).read_bytes()
    path = tmp_path / f"cut.{kind}"
    path.write_bytes(data[: int(share * len(data))])
    check(path)


@pytest.mark.parametrize("kind", FILES)
@SHORT
@given(
    changes=st.lists(
        st.tuples(st.floats(0.0, 1.0, exclude_max=True), st.integers(0, 255)), max_size=12
    )
)
def test_changed_bytes(
    kind: str, changes: list[tuple[float, int]], authorities: Path, tmp_path: Path
) -> None:
    data = bytearray((authorities / FILES[kind]).read_bytes())
    for share, byte in changes:
        data[int(share * len(data))] = byte
    path = tmp_path / f"changed.{kind}"
    path.write_bytes(bytes(data))
    check(path)


@pytest.mark.slow
@pytest.mark.parametrize("kind", FILES)
@SHORT
@given(
    changes=st.lists(st.tuples(st.integers(0, 400), st.integers(0, 255)), min_size=1, max_size=6)
)
def test_changed_heads(
    kind: str, changes: list[tuple[int, int]], authorities: Path, tmp_path: Path
) -> None:
    data = bytearray((authorities / FILES[kind]).read_bytes())
    for place, byte in changes:
        data[place] = byte
    path = tmp_path / f"changed.{kind}"
    path.write_bytes(bytes(data))
    check(path)


@pytest.mark.parametrize("magic", [b"", b"GRIB", b"BUFR", b"CDF\x01", b"\x89HDF\r\n\x1a\n", b"#"])
@SHORT
@given(junk=st.binary(max_size=300))
def test_random_bytes(magic: bytes, junk: bytes, tmp_path: Path) -> None:
    path = tmp_path / "junk"
    path.write_bytes(magic + junk)
    assert check(path) is None


NAMES = [
    "gph_m", "amsl_m", "p_hpa", "p_pa", "t_k", "t_c", "u_mps", "v_mps", "wind_from_deg", "wind_mps",
]  # fmt: skip
CELLS = st.one_of(
    st.floats(allow_nan=True, allow_infinity=True).map(str),
    st.floats(-200.0, 35_000.0).map(lambda value: f"{value:.1f}"),
    st.sampled_from(["", "-9999", "999999", "nan", "x", "1e9", "-", "288.15", "1000"]),
)


@SHORT
@given(
    names=st.lists(
        st.sampled_from(NAMES),
        min_size=3,
        max_size=6,
    ),
    rows=st.lists(st.lists(CELLS, min_size=6, max_size=6), max_size=12),
    delimiter=st.sampled_from(",;\t"),
)
def test_random_tables(
    names: list[str], rows: list[list[str]], delimiter: str, tmp_path: Path
) -> None:
    lines = [delimiter.join(names), *(delimiter.join(row[: len(names)]) for row in rows)]
    path = tmp_path / "random.csv"
    path.write_text("\n".join(lines))
    check(path)


@SHORT
@given(
    rows=st.lists(
        st.tuples(
            st.one_of(st.floats(-600.0, 91_000.0), st.just("")),
            st.one_of(st.floats(140.0, 340.0), st.just("")),
            st.one_of(st.floats(-1.0, 370.0), st.just("")),
            st.one_of(st.floats(-1.0, 210.0), st.just("")),
        ),
        min_size=3,
        max_size=15,
    )
)
def test_tables_that_are_nearly_right(rows: list[tuple[object, ...]], tmp_path: Path) -> None:
    lines = [",".join(f"{cell}" for cell in row) for row in rows]
    path = tmp_path / "near.csv"
    path.write_text("\n".join(["gph_m,t_k,wind_from_deg,wind_mps", *lines]))
    check(path)


@SHORT
@given(text=st.text(max_size=300))
def test_random_text(text: str, tmp_path: Path) -> None:
    path = tmp_path / "random.txt"
    path.write_text(text, encoding="utf-8", errors="ignore")
    assert check(path) is None


@pytest.mark.parametrize("kind", ["bufr", "cdf", "grib2"])
def test_undamaged_files_pass(kind: str, authorities: Path) -> None:
    assert check(authorities / FILES[kind]) is not None
