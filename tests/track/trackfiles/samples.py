"""Tracks that were never flown: of each kind of height, over both midnights and the antimeridian.

``python -m tests.track.trackfiles.samples`` writes them anew into tests/authorities/tracks, where
scripts/read_tracks.py has other libraries read them.
"""

from pathlib import Path
from typing import Final

from farglide.track.reports import Fix, HeightKind
from farglide.track.trackfiles.forms import Form, track_lines

FOLDER: Final = Path(__file__).parents[2] / "authorities" / "tracks"
MIDNIGHT_S: Final = 1_800_748_800.0  # 2027-01-24T00:00:00Z


def climb() -> list[Fix]:
    """Return a climb across midnight and the antimeridian, with what a good receiver tells."""
    return [
        Fix(
            feed="glider", lat_deg=-46.5 + 0.00123457 * n, t_s=MIDNIGHT_S - 30.0 + 7.2 * n,
            lon_deg=179.98 + 0.004321 * n if n < 5 else -179.998 + 0.0043 * (n - 5),
            height_m=240.25 + 36.5 * n, height_kind=HeightKind.ELLIPSOID, separation_m=-12.5,
            speed_mps=4.5 + n, track_deg=90.0, n_satellites=9 + n,
        )
        for n in range(10)
    ]  # fmt: skip


def mixed() -> list[Fix]:
    """Return two feeds whose heights are of all kinds, or none."""
    kinds = (HeightKind.SEA_LEVEL, HeightKind.PRESSURE, HeightKind.ELLIPSOID)
    glider = [
        Fix(
            feed="glider", lat_deg=46.5, lon_deg=-8.0 - n / 3.0, t_s=MIDNIGHT_S + 60.0 * n,
            height_m=1000.0 * n - 50.0, height_kind=kinds[n % 3],
        )
        for n in range(6)
    ]  # fmt: skip
    car = [
        Fix(feed="Wagen <2> & Höhe", lat_deg=46.0 + n / 7.0, lon_deg=8.0, t_s=MIDNIGHT_S + n)
        for n in range(3)
    ]
    return [glider[0], car[0], *glider[1:4], car[1], *glider[4:], car[2]]


SAMPLES: Final = {"climb": climb(), "mixed": mixed(), "none": []}


def sample_text(name: str, form: Form) -> str:
    """Return a sample as a file of a format; of several feeds, IGC takes the first."""
    fixes = SAMPLES[name]
    one = [fix for fix in fixes if fix.feed == "glider"] if form is Form.IGC else fixes
    return "".join(track_lines(form, one))


if __name__ == "__main__":
    for name in SAMPLES:
        for form in Form:
            (FOLDER / f"{name}.{form}").write_bytes(sample_text(name, form).encode())
