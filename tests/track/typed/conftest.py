"""What a made-up crew knows when it types."""

import pytest

from farglide.track.typed.entries import MarkKind
from farglide.track.typed.known import Known, LastPlace, StandKnown

NOW_T_S = 1_800_700_000.0


@pytest.fixture
def known() -> Known:
    """Return what is known some minutes into the climb of an invented flight."""
    return Known(
        t_s=NOW_T_S,
        last=LastPlace(lat_deg=-46.5123, lon_deg=108.2045, amsl_m=12_300.0, t_s=NOW_T_S - 20.0),
        stands=(
            StandKnown(name="Stile Gap", lat_deg=-46.589, lon_deg=108.165, amsl_m=500.0),
            StandKnown(
                name="Wether Knap", lat_deg=-46.636, lon_deg=108.235, amsl_m=470.0, nose_deg=90.0
            ),
        ),
        stand="Stile Gap",
        fields=("Harrowend strip", "Tansy Lea"),
        places=("Harrowend", "Stile Gap", "Wether Knap", "Tansy Lea"),
        planned_neck_kg=1.6,
        hanging_kg=0.78,
        marks=(MarkKind.LAUNCHED,),
    )
