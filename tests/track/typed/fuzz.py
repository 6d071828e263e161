"""Lines at random, near what a crew types, and what may come of one."""

from hypothesis import strategies as st

from farglide.errors import AnswerError, InputError
from farglide.track.typed.entries import MarkKind
from farglide.track.typed.known import AskedBack, Known, LastPlace, StandKnown, Understood
from farglide.track.typed.typed import typed

KNOWN = Known(
    t_s=1_800_700_000.0,
    last=LastPlace(lat_deg=-46.5, lon_deg=179.99, amsl_m=12_300.0, t_s=1_800_699_000.0),
    stands=(
        StandKnown(name="Gap", lat_deg=-46.6, lon_deg=-179.9, amsl_m=500.0, nose_deg=350.0),
        StandKnown(name="Knap", lat_deg=-46.7, lon_deg=179.9, amsl_m=470.0),
    ),
    stand="Gap",
    fields=("Harrowend strip", "Tansy Lea"),
    places=("Gap", "Knap"),
    planned_neck_kg=1.6,
    hanging_kg=0.8,
    marks=(MarkKind.LAUNCHED,),
)
PIECES = (
    "h", "g", "q", "a", "s", "sun", "wood", "water", "ridge", "border", "n", "neck", "late",
    "moved", "road", "closed", "refused", "no", "u", "undo", "l", "r", "rs", "b", "burst", "lost",
    "back", "last", "landed", "stuck", "gap", "knap", "tansy", "-", "+", "12340", "46.5", "46,5",
    "179.99", ".5", ",5", "108 12.3", "S", "E", "w", "n", "°", "'", '"', ";", ",", "ft", "km",
    "kmh", "v", "m", "min", "kg", "g", "o'clock", "fists", "10:30", "11", "0", "-0", "1e9", "٣",
    "ſ", "K",
    "999999999", ".", "..", "left", "right", "none", "\x00", "\n", "–", "ß", "İ",
)  # fmt: skip
LINES = st.one_of(
    st.text(max_size=40),
    st.lists(st.sampled_from(PIECES), max_size=8).map(" ".join),
    st.lists(st.sampled_from(PIECES), max_size=8).map("".join),
    st.text(alphabet="0123456789.,-+ nsew°'h", max_size=30),
)


def said(line: str) -> Understood | AskedBack | None:
    """Return what comes of a line; None where it is asked again. Anything else fails."""
    try:
        return typed(line, KNOWN)
    except (AnswerError, InputError):
        return None
