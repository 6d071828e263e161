"""Release section: which height the crew sees to release by, and what a burst before leaves."""

from collections.abc import Iterator
from typing import Final, get_args

from farglide.errors import Problem
from farglide.flightfile.entries import Entry, Section, quoted
from farglide.flightfile.reading import endings as unit
from farglide.flightfile.reading.keys import guess, typical
from farglide.sortie.release import ReleaseSpec, SeenBy

SEEN_BY: Final[tuple[str, ...]] = get_args(SeenBy)
_R: Final = ReleaseSpec()

_ROWS: Final = (
    # many receivers stop at 18 km unless they are set to a mode for balloons (from memory)
    guess("seen_to_amsl", unit.HEIGHT, (0.0, 60_000.0),
          "the height that the crew sees is valid up to", _R.seen_to_amsl_m,
          settle="look up the limit in the receiver's sheet, and the mode that lifts it"),
    # 10 to 20 m in height with a clear sky (common practice, no source)
    typical("seen_error", unit.HEIGHT, (0.0, 3000.0), "that height may be off by", _R.seen_error_m,
            settle="hold it against a known height on the day"),
    # small gauges: 1 hPa over their whole range (common practice, no source)
    typical("gauge_error", unit.PRESSURE, (0.0, 1000.0),
            "a pressure gauge may besides be off by", _R.gauge_error_pa,
            settle="hold it against a good gauge in the cold box and under a bell"),
    guess("free_after_burst", unit.RATIO, (0.0, 1.0),
          "let go after a burst, the glider comes free of the remains with a chance of",
          _R.free_after_burst_ratio,
          settle="count it in your own flights: nobody has published it"),
)  # fmt: skip


def release_of(release: Entry) -> ReleaseSpec:
    """Return how the release is ordered, found without problems."""
    return release.spec(ReleaseSpec)


def reading_problems(release: Entry) -> Iterator[Problem]:
    """Yield an error of a gauge where none is read."""
    seen_by = release.texts["seen_by"]
    if seen_by != "pressure" and release.given("gauge_error_pa"):
        remedy = 'Write seen_by = "pressure", or leave gauge_error out.'
        yield release.problem("gauge_error", f'is stated, but seen_by is "{seen_by}".', remedy)


RELEASE: Final = Section(
    name="release",
    about="Which height the crew sees, by which it releases; above its limit the clock leads.",
    rows=_ROWS,
    choices={"seen_by": (SEEN_BY, "gnss")},
    words={
        "seen_by": f"what tells the crew the height in flight, one of {quoted(SEEN_BY)} "
        '(satellites, a gauge, nothing); left out: ``"gnss"``. With ``"none"`` the clock '
        "leads all the way",
    },
)
