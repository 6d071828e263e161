"""The hand-over sentence: there and back, and what it refuses."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from farglide.errors import AnswerError, InputError
from farglide.track.handover.check import SIZE, with_check
from farglide.track.handover.sentence import (
    LEFT_S,
    PHASES,
    PLACE_M,
    PLACE_SD_M,
    TICK_S,
    WINDS,
    Common,
    HandedOver,
    heard,
    spoken,
)
from farglide.track.handover.words import ALPHABET

T_S = 1_800_700_000.0
COMMON = Common(-46.5, 108.0, -46.7, 108.4, T_S)
TOLD = HandedOver(
    lat_deg=-46.797, lon_deg=108.506, amsl_m=25_040.0, at_t_s=T_S - 100.0, phase="climbing",
    field=2, left_s=245.0, wind="as told",
)  # fmt: skip


def metres(one: HandedOver, other: HandedOver, launch_lat_deg: float) -> tuple[float, float]:
    scale = 111_195.0
    east_deg = (one.lon_deg - other.lon_deg + 180.0) % 360.0 - 180.0
    return (
        (one.lat_deg - other.lat_deg) * scale,
        east_deg * scale * math.cos(math.radians(launch_lat_deg)),
    )


def test_a_sentence_is_twelve_words_and_says_the_same_again() -> None:
    text = spoken(TOLD, COMMON)
    assert len(text.split()) == 12
    found = heard(text, COMMON)
    assert max(map(abs, metres(found, TOLD, -46.5))) <= PLACE_M / 2.0 + 1e-6
    assert found.amsl_m == 25_000.0
    assert abs(found.at_t_s - TOLD.at_t_s) <= TICK_S / 2.0
    assert (found.phase, found.field, found.left_s, found.wind) == (
        "climbing", 2, 240.0, "as told",
    )  # fmt: skip
    assert heard("".join(word[0] for word in text.split()), COMMON) == found


@given(
    north_m=st.floats(-102_000.0, 102_000.0),
    east_m=st.floats(-102_000.0, 102_000.0),
    amsl_m=st.floats(-500.0, 50_000.0),
    ago_s=st.floats(-50.0, 2500.0),
    phase=st.sampled_from(PHASES),
    field=st.integers(0, 7),
    left_s=st.one_of(st.none(), st.floats(-100.0, 9000.0)),
    wind=st.sampled_from(WINDS),
    launch=st.tuples(st.floats(-70.0, 70.0), st.floats(-175.0, 175.0)),
)
def test_there_and_back(
    north_m: float, east_m: float, amsl_m: float, ago_s: float, phase: str, field: int,
    left_s: float | None, wind: str, launch: tuple[float, float],
) -> None:  # fmt: skip
    lat, lon = launch
    common = Common(lat, lon, lat, lon, T_S)
    told = HandedOver(
        lat_deg=lat + north_m / 111_195.0,
        lon_deg=lon + east_m / (111_195.0 * math.cos(math.radians(lat))),
        amsl_m=amsl_m, at_t_s=T_S - ago_s, phase=phase, field=field, left_s=left_s, wind=wind,
    )  # fmt: skip
    found = heard(spoken(told, common), common)
    assert max(map(abs, metres(found, told, lat))) <= PLACE_M / 2.0 + 1e-3
    assert abs(found.amsl_m - amsl_m) <= 50.0 + 1e-6
    assert abs(found.at_t_s - told.at_t_s) <= TICK_S / 2.0 + 1e-6
    assert (found.phase, found.field, found.wind) == (phase, field, wind)
    if left_s is None:
        assert found.left_s is None
    else:
        assert found.left_s is not None
        assert found.left_s <= max(left_s, 0.0)  # rounded down: no time is promised
        assert found.left_s in LEFT_S


def test_the_place_and_the_time_nearest_to_what_is_known_are_taken() -> None:
    """A place is told modulo 204.8 km, a time modulo 85 min 20 s."""
    far = replace(TOLD, lat_deg=-46.5 - 150_000.0 / 111_195.0)
    text = spoken(far, COMMON)
    near = Common(-46.5, 108.0, -47.6, 108.4, T_S)
    assert heard(text, near).lat_deg == pytest.approx(far.lat_deg, abs=0.001)
    assert abs(heard(text, COMMON).lat_deg - far.lat_deg) == pytest.approx(1.842, abs=0.002)
    later = COMMON._replace(now_t_s=T_S + 5120.0)
    assert heard(spoken(TOLD, COMMON), later).at_t_s == pytest.approx(
        TOLD.at_t_s + 5120.0, abs=10.0
    )


def test_a_moment_still_to_come_is_refused() -> None:
    """Typed 45 min late it would lie 40 min ahead; a clock a minute off is borne."""
    text = spoken(replace(TOLD, at_t_s=T_S), COMMON)
    for late_s in (-55.0, 0.0, 2500.0):
        assert heard(text, COMMON._replace(now_t_s=T_S + late_s)).at_t_s == pytest.approx(
            T_S, abs=TICK_S / 2.0
        )
    for late_s in (-90.0, 2700.0, 5000.0):
        with pytest.raises(AnswerError, match=r"min from now: .* clocks of the cars differ"):
            heard(text, COMMON._replace(now_t_s=T_S + late_s))


def test_a_wrong_word_is_named_with_what_it_may_have_been() -> None:
    words = spoken(TOLD, COMMON).split()
    for place in range(12):
        wrong = [*words]
        wrong[place] = next(one for one in ALPHABET if one != words[place])
        with pytest.raises(AnswerError, match=rf"word {place + 1}, .*was it {words[place]}\?"):
            heard(" ".join(wrong), COMMON)


def test_swapped_words_are_named() -> None:
    words = spoken(TOLD, COMMON).split()
    i = next(k for k in range(11) if words[k] != words[k + 1])
    words[i], words[i + 1] = words[i + 1], words[i]
    with pytest.raises(AnswerError, match=f"words {i + 1} and {i + 2}, perhaps swapped"):
        heard(" ".join(words), COMMON)


def test_what_says_nothing_is_refused() -> None:
    with pytest.raises(AnswerError, match="A hand-over has 12 words, these are 11: ask again"):
        heard("a b c d e f g h i j k", COMMON)
    beyond = with_check([SIZE - 1] * 10)
    with pytest.raises(AnswerError, match="These words check, but say nothing"):
        heard(" ".join(ALPHABET[k] for k in beyond), COMMON)
    with pytest.raises(AnswerError, match="do not check, in more than one place"):
        heard("a a a a a b c c d e f g", COMMON)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"phase": "flying"}, "phase is 'flying'; allowed: climbing"),
        ({"wind": "strong"}, "wind is 'strong'; allowed: as told"),
        ({"field": 8}, "field is 8; allowed: 1 to 7, or 0 for none"),
        ({"lat_deg": math.nan}, "lat_deg is nan°; allowed: -90 to 90°"),
        ({"lon_deg": math.nan}, "lon_deg is nan°; allowed: -180 to 360°"),
        ({"left_s": math.nan}, "left_s is nan s; allowed: a number of seconds"),
        ({"at_t_s": math.inf}, "at_t_s is inf s; allowed: a number of seconds"),
        ({"amsl_m": 60_000.0}, "height is 60000 m; allowed: -500 to 50600 m"),
    ],
)
def test_what_no_sentence_carries(change: dict[str, object], words: str) -> None:
    with pytest.raises(InputError, match=words):
        replace(TOLD, **change)  # type: ignore[arg-type]


def test_the_doubt_of_a_cell() -> None:
    assert pytest.approx(28.87, abs=0.01) == PLACE_SD_M
