"""The fields of the sample, and where each can be reached from."""

from tests.present.sample_flight import (
    BURST_BY_HEIGHT,
    CONTOUR_0_6,
    CONTOUR_0_12,
    CONTOUR_0_20,
    CONTOUR_1_14,
    TRACK,
)

from farglide.outlook.ascent import Spread
from farglide.outlook.fields import (
    Band,
    Contour,
    FieldOutlook,
    FieldStep,
    State,
)
from farglide.present.draw.lookup import interpolated

STATES: dict[str, State] = {"o": "open", "d": "doubtful", "s": "shut"}
ODDS = {"open": 0.95, "doubtful": 0.7, "shut": 0.2}
REASONS = {
    "open": "in reach with 300 m over the field",
    "doubtful": "in reach for some winds only",
    "shut": "the wind is faster than the way home",
}


def after_s(amsl_km: float) -> float:
    return 60.0 * interpolated([(row[3], row[0]) for row in TRACK], amsl_km)


def spread(p10: float, p50: float, p90: float, scale: float = 1.0) -> Spread:
    return Spread(p10=p10 * scale, p50=p50 * scale, p90=p90 * scale)


def _bands(written: str) -> tuple[Band, ...]:
    words, low_km, bands = written.split(), 0.24, []
    for edge, letter in zip(words[::2], words[1::2], strict=True):
        high_km = float(edge)
        bands.append(
            Band(
                state=STATES[letter],
                from_amsl_m=low_km * 1000.0,
                to_amsl_m=high_km * 1000.0,
                from_after_launch_s=after_s(low_km),
                to_after_launch_s=after_s(high_km),
                reason=REASONS[STATES[letter]],
            )
        )
        low_km = high_km
    return tuple(bands)


def _steps(bands: tuple[Band, ...]) -> tuple[FieldStep, ...]:
    steps = []
    for minute, _, _, amsl_km, _ in TRACK:
        band = next(b for b in bands if amsl_km * 1000.0 <= b.to_amsl_m)
        burst = interpolated(BURST_BY_HEIGHT, amsl_km)
        chance = ODDS[band.state]
        steps.append(
            FieldStep(
                after_launch_s=minute * 60.0,
                amsl_m=amsl_km * 1000.0,
                reach_ratio=chance,
                timely_ratio=chance,
                open_ratio=chance,
                chance_ratio=chance * (1.0 - burst),
                spare_m=float("nan") if band.state == "shut" else 600.0 * amsl_km,
            )
        )
    return tuple(steps)


def field_of(row: tuple[str, str, float, float, float, str]) -> FieldOutlook:
    name, role, east_km, north_km, amsl_m, written = row
    bands = _bands(written)
    return FieldOutlook(
        name=name,
        role=role,
        lat_deg=-46.5 + north_km / 111.195,
        lon_deg=108.0 + east_km / 76.542,
        amsl_m=amsl_m,
        east_m=east_km * 1000.0,
        north_m=north_km * 1000.0,
        bands=bands,
        steps=_steps(bands),
        lost_picture_agl_m=(),
    )


def contours() -> tuple[Contour, ...]:
    drawn = (
        ("Harrowend", 6.0, CONTOUR_0_6),
        ("Harrowend", 12.0, CONTOUR_0_12),
        ("Harrowend", 20.4, CONTOUR_0_20),
        ("Tansy Lea", 14.5, CONTOUR_1_14),
    )
    return tuple(
        Contour(
            field=field,
            amsl_m=amsl_km * 1000.0,
            points=tuple((east * 1000.0, north * 1000.0) for east, north in points),
        )
        for field, amsl_km, points in drawn
    )
