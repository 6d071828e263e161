"""A guess is said to decide where it shuts something that the release is planned for."""

from dataclasses import replace
from math import nan

import pytest

from farglide.outlook.fields import Band, Cause, FieldOutlook
from farglide.outlook.outlook import Outlook
from farglide.outlook.release import ReleaseOutlook
from farglide.plan.deciding import deciding_guesses
from farglide.sortie.known import Tag
from farglide.sortie.spec import Sortie

GUESSED = {"glider.top_mach": Tag.GUESS, "glider.top_eas_mps": Tag.GUESS}


@pytest.fixture(scope="module")
def release(demo: Outlook) -> ReleaseOutlook:
    assert demo.release is not None
    window = replace(demo.release.window, from_amsl_m=20_000.0, to_amsl_m=28_000.0)
    return replace(demo.release, window=window, release_by_amsl_m=27_800.0)


def limited(
    demo: Outlook, cause: Cause, low_m: float = 27_000.0, high_m: float = 37_000.0
) -> tuple[FieldOutlook, ...]:
    """Return the chosen field alone, open but for a band that something shuts."""
    field = demo.fields[0]
    shut = Band(
        state="shut", from_amsl_m=low_m, to_amsl_m=high_m, from_after_launch_s=0.0,
        to_after_launch_s=600.0, reason=cause.words, causes=(cause,),
    )  # fmt: skip
    return (replace(field, bands=(shut,)),)


def mach(kind: str = "mach", is_guess: bool = True) -> Cause:
    words = "the pull-out passes the Mach limit of 0.59, a guess"
    return Cause(kind=kind, words=words, is_guess=is_guess, saves_ratio=0.3)  # type: ignore[arg-type]


def test_a_guessed_limit_inside_the_window_is_told_with_the_key_that_states_it(
    sortie: Sortie, demo: Outlook, release: ReleaseOutlook
) -> None:
    stated = replace(sortie, tags={"glider.top_mach": Tag.GUESS})
    (told,) = deciding_guesses(stated, release, limited(demo, mach()), 31e3)
    assert told == (
        "A limit that nobody stated decides: the pull-out passes the Mach limit of 0.59, a guess. "
        "State the glider's top Mach number (top_mach)."
    )
    both = replace(sortie, tags=GUESSED)
    (told,) = deciding_guesses(both, release, limited(demo, mach("speeds")), 31e3)
    assert "State the glider's top Mach number and top airspeed (top_mach, top_eas)." in told
    # of both limits only what was not stated is named
    (told,) = deciding_guesses(stated, release, limited(demo, mach("speeds")), 31e3)
    assert "top_eas" not in told
    # a stated limit, and what is no limit of speed, are no guess of one
    for other in (mach(is_guess=False), mach("wind")):
        assert list(deciding_guesses(stated, release, limited(demo, other), 31e3)) == []


@pytest.mark.parametrize(
    ("low_m", "high_m", "is_told"),
    [
        (36_750.0, 37_000.0, False),  # far above the window: hardly a balloon gets there
        (28_400.0, 37_000.0, True),  # next to it
        (28_600.0, 37_000.0, False),
        (10_000.0, 19_600.0, True),
        (10_000.0, 19_400.0, False),
    ],
)
def test_a_limit_away_from_the_window_decides_nothing(
    sortie: Sortie, demo: Outlook, release: ReleaseOutlook, low_m: float, high_m: float,
    is_told: bool,
) -> None:  # fmt: skip
    guessed = replace(sortie, tags=GUESSED)
    fields = limited(demo, mach(), low_m, high_m)
    assert bool(list(deciding_guesses(guessed, release, fields, 31e3))) is is_told


def test_without_a_release_a_limit_counts_where_half_of_the_balloons_get(
    sortie: Sortie, demo: Outlook
) -> None:
    guessed = replace(sortie, tags=GUESSED)
    fields = limited(demo, mach(), 30_000.0)
    for half_m, is_told in ((29e3, False), (31e3, True), (nan, True)):
        assert bool(list(deciding_guesses(guessed, None, fields, half_m))) is is_told


def test_an_untested_link_that_shuts_the_window_is_told_instead(
    sortie: Sortie, demo: Outlook, release: ReleaseOutlook
) -> None:
    words = "picture lost on the way for a crew at Knoll, by a link budget that nobody tested"
    cause = Cause(kind="picture", words=words, is_guess=True, saves_ratio=0.4)
    (told,) = deciding_guesses(sortie, release, limited(demo, cause), 31e3)
    assert told == (
        "A link budget that nobody tested decides: picture lost on the way for a crew at Knoll. "
        "The ground test settles it."
    )
    tested = replace(cause, is_guess=False)
    assert list(deciding_guesses(sortie, release, limited(demo, tested), 31e3)) == []
    above = limited(demo, cause, 28_100.0)
    assert list(deciding_guesses(sortie, release, above, 31e3)) == []
    assert list(deciding_guesses(sortie, None, limited(demo, cause), 31e3)) == []
