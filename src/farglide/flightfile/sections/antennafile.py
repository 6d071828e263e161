"""Antennas of a flight file: the ends of links out of their entries, and what does not fit."""

import math
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Final, cast

from farglide.errors import ContradictionError, InputError, Problem
from farglide.flightfile.entries import Entry
from farglide.flightfile.sections.antennakeys import (
    BEAMS,
    ENDS,
    MEASURED,
    PATTERN_FILES,
    SENDER,
    STATED_GAIN,
    USUAL,
    WIDTHS,
)
from farglide.flightfile.sections.antennawords import WITH_NUMBER
from farglide.radio.antenna.stance import Stance
from farglide.radio.ends.end import NO_PLACE, UNSTATED, End

if TYPE_CHECKING:  # else every flight file would wait for the laws
    from farglide.flightfile.sections.antennakinds import Kind
    from farglide.radio.antenna.kinds import Antenna

GAIN: Final = "gain_dbi"
_EVERY: Final = (
    "aim_spread_deg", "swing_deg", "axial_ratio_db", "damage_db", "damage_skew_deg",
)  # fmt: skip
_KEYS: Final = tuple(one.key.removeprefix("sender_") for one in SENDER)
_COUNTS: Final = ("n_turns", "n_level", "n_upright")


def end_of(one: Entry, end: str, folder: Path) -> End:
    """Return the antenna of one end of a link whose entry was found without problems.

    `folder`: that of the flight file, where the file of a measured pattern lies. An antenna that
    its law refuses raises.
    """
    files = [one.texts[f"{end}_{key}"] for key in PATTERN_FILES]
    pointing, stated = one.texts[f"{end}_pointing"], _stated(one, end)
    return End(
        antenna=_antenna(one, end, stated),
        pattern_paths=tuple(str(folder / name) for name in files if name),
        aboard=is_aboard(one, end),
        pointing=None if pointing == USUAL else cast(Stance, pointing),
        polarisation=one.texts[f"{end}_polarisation"],
        **{key: stated[key] for key in (GAIN, *_EVERY) if key in stated},
    )


def is_aboard(one: Entry, end: str) -> bool:
    """Tell whether this end flies: it hears the command, and sends picture and position."""
    return (end == "receiver") == (one.texts["purpose"] == "command")


def law_problem(one: Entry, end: str) -> Problem | None:
    """Return what the law of an antenna refuses of one end; a measured one is not read yet."""
    try:
        spec = end_of(one, end, Path())
    except (InputError, ContradictionError) as error:
        what = f"is {_noun(one.texts[f'{end}_antenna'])}: {error}"
        return one.problem(f"{end}_antenna", what)
    if spec.antenna is None or spec.gain_dbi is None:
        return None
    from farglide.radio.ends.gear import far_off

    asked = far_off(spec)
    return one.problem(f"{end}_gain_dbi", asked, "Which of them is right?") if asked else None


def antenna_problems(links: list[Entry]) -> Iterator[Problem]:
    """Yield what the antennas of links lack, state for nothing, or state against each other."""
    for one in links:
        for end in ENDS:
            yield from _own_numbers(one, end)
            yield from _pattern_file(one, end)
            yield from _pointing(one, end)
            yield from _circle(one, end)
        yield from _one_polarisation(one)
        yield from _place(one)


def _own_numbers(one: Entry, end: str) -> Iterator[Problem]:
    """Hold the numbers that are stated against those that this antenna has."""
    antenna = one.texts[f"{end}_antenna"]
    kind = _kind(antenna)
    needs, may = (kind.needs, kind.may) if kind else ((), ())
    given = [key for key in (*_KEYS, GAIN) if one.given(f"{end}_{key}")]
    for key in needs:
        if key not in given:
            what = f"is missing: {end}_antenna is {_a(antenna)}."
            yield one.problem(f"{end}_{key}", what, _off_the_sheet(end, antenna))
    for key in given:
        if key not in (*needs, *may, *_EVERY, GAIN):
            what = f"is stated, but {end}_antenna is {_a(antenna)}, which has none."
            yield one.problem(f"{end}_{key}", what, f"Take it out, or change {end}_antenna.")
    if antenna in ("yagi", "patch") and not {GAIN, *WIDTHS} & set(given):
        what = f"is {_a(antenna)} without a beamwidth and without a gain."
        yield one.problem(f"{end}_antenna", what, _off_the_sheet(end, antenna))
    for key in _COUNTS:
        value = one.value(f"{end}_{key}")
        if value == value and value != round(value):
            what = f"is {value:g}; allowed: a whole number."
            yield one.problem(f"{end}_{key}", what, "Count full turns or antennas.")


def _off_the_sheet(end: str, antenna: str) -> str:
    """Return how to state the numbers that an antenna lacks."""
    said = WITH_NUMBER.get(antenna, "")
    return "State it, off the sheet or a ruler" + (
        f', or behind the word, like {end}_antenna = "{said}".' if said else "."
    )


def _pattern_file(one: Entry, end: str) -> Iterator[Problem]:
    is_measured = one.texts[f"{end}_antenna"] == MEASURED
    name, upright = (one.texts[f"{end}_{key}"] for key in PATTERN_FILES)
    if (is_measured or upright) and not name:
        example = f'Write {end}_pattern_file = "pattern.csv", with angle_deg and gain_dbi.'
        yield one.problem(f"{end}_pattern_file", "is missing.", example)
    for key in PATTERN_FILES:
        if one.texts[f"{end}_{key}"] and not is_measured:
            what = f"is stated, but {end}_antenna is not measured."
            yield one.problem(f"{end}_{key}", what, f'Write {end}_antenna = "measured".')


def _pointing(one: Entry, end: str) -> Iterator[Problem]:
    antenna, aboard = one.texts[f"{end}_antenna"], is_aboard(one, end)
    pointing = one.texts[f"{end}_pointing"]
    key, choice = f"{end}_pointing", 'Write "up", "down" or "level".'
    every = 'Write "aimed", "up", "down" or "level".'
    if antenna == STATED_GAIN:
        off = ("aim_spread_deg", "damage_skew_deg")
        told = [key for key in off if one.given(f"{end}_{key}")]
        told += ["pointing"] * (pointing != USUAL)
        for needless in told:
            what = "is stated, but of its antenna only a gain."
            yield one.problem(f"{end}_{needless}", what, f"State {end}_antenna, or take it out.")
        return
    if pointing == USUAL and (antenna == MEASURED or (aboard and antenna in BEAMS)):
        what = f"is missing: how {_a(antenna)} stands there, nobody can guess."
        yield one.problem(key, what, choice if aboard else every)
        return
    stands = _stands(antenna, pointing, aboard)
    if stands == "aimed" and aboard:
        yield one.problem(key, "is aimed, but nothing aims on the glider.", choice)
    elif stands == "aimed" and antenna not in (*BEAMS, MEASURED):
        yield one.problem(key, f"is aimed, but {_a(antenna)} has no boresight.", choice)
    wrong, other = ("swing", "aim_spread") if stands == "aimed" else ("aim_spread", "swing")
    if one.given(f"{end}_{wrong}_deg"):
        how = "is aimed" if stands == "aimed" else f"points {stands}"
        what = f"is stated, but {end}_antenna {how}."
        yield one.problem(f"{end}_{wrong}_deg", what, f"Is {end}_{other}_deg meant?")


def _circle(one: Entry, end: str) -> Iterator[Problem]:
    sense = one.texts[f"{end}_polarisation"]
    if one.given(f"{end}_axial_ratio_db") and "circular" not in sense:
        what = f"is stated, but {end}_polarisation is {sense}."
        yield one.problem(f"{end}_axial_ratio_db", what, "Only a circular one has it.")


def _one_polarisation(one: Entry) -> Iterator[Problem]:
    unstated = [end for end in ENDS if one.texts[f"{end}_polarisation"] == UNSTATED]
    if len(unstated) == 1:
        what = "is missing: the loss is that between both ends."
        yield one.problem(f"{unstated[0]}_polarisation", what, "State both, or none.")


def _place(one: Entry) -> Iterator[Problem]:
    if one.texts["surroundings"] == NO_PLACE:
        return
    if one.texts["purpose"] == "command":
        what = "is stated, but the receiver flies; the published noise is that near the ground."
        yield one.problem("surroundings", what, "Take it out.")
    elif not one.given("noise_figure_db"):
        what = "is stated without noise_figure_db: what the place adds depends on it."
        yield one.problem("surroundings", what, "State noise_figure_db and needed_ratio_db.")


def _antenna(one: Entry, end: str, stated: dict[str, float]) -> "Antenna | None":
    kind = _kind(one.texts[f"{end}_antenna"])
    measures = {**stated, "frequency_hz": one.value("frequency_hz")}
    return None if kind is None else kind.make(measures)


def _stands(antenna: str, pointing: str, aboard: bool) -> str:
    """Return how an antenna points: as stated, else as such antennas usually do."""
    kind = _kind(antenna)
    if pointing != USUAL or kind is None:
        return pointing
    return kind.type.usual.aboard if aboard else kind.type.usual.on_the_ground


def _a(antenna: str) -> str:
    return f"a {_noun(antenna)}"


def _noun(antenna: str) -> str:
    kind = _kind(antenna)
    return antenna if kind is None else kind.type.noun


def _kind(antenna: str) -> "Kind | None":
    """Return the kind that a word stands for; none of a stated gain, and then no law is loaded."""
    if antenna == STATED_GAIN:
        return None
    from farglide.flightfile.sections.antennakinds import KINDS

    return KINDS[antenna]


def _stated(one: Entry, end: str) -> dict[str, float]:
    """Return the numbers that are stated of an end, by their keys."""
    found = {key: one.numbers[f"{end}_{key}"] for key in (*_KEYS, GAIN)}
    return {
        key: number.value
        for key, number in found.items()
        if number.given and not math.isnan(number.value)
    }
