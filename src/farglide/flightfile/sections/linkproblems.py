"""Link problems: what in the links of a flight file cannot hold together, or no law takes."""

import math
from collections.abc import Iterator
from itertools import islice
from pathlib import Path
from typing import Final

from farglide.errors import ContradictionError, InputError, Problem
from farglide.flightfile.entries import Entry
from farglide.flightfile.sections.antennafile import law_problem
from farglide.flightfile.sections.antennakeys import ENDS, MEASURED, STATED_GAIN
from farglide.flightfile.sections.links import link_spec
from farglide.radio.ends.end import NO_PLACE

_EIRP: Final = ("eirp_w", "eirp_dbm")
_POWER: Final = ("power_w", "sender_loss_db", "sender_gain_dbi")
_THRESHOLDS: Final = (
    "Write noise_figure_db and needed_ratio_db, or sensitivity_dbm, or reached_km: one of the ways."
)


def link_problems(links: list[Entry]) -> Iterator[Problem]:
    """Yield what in the links cannot hold together."""
    for one in links:
        yield from _bandwidth_problems(one)
        pair = [one.given(key) for key in ("noise_figure_db", "needed_ratio_db")]
        ways = [any(pair), one.given("sensitivity_dbm"), one.given("reached_m")]
        if sum(ways) != 1:
            what = "states more than one threshold." if any(ways) else "states no threshold."
            yield one.problem("", what, _THRESHOLDS)
        elif any(pair) and not all(pair):
            what = "states one of noise_figure_db and needed_ratio_db, and needs both."
            yield one.problem("", what, _THRESHOLDS)
        yield from _power_problems(one)
        yield from _test_problems(one)


def _bandwidth_problems(one: Entry) -> Iterator[Problem]:
    """Yield a bandwidth that cannot be, or is missing where the noise follows from it."""
    told = "bandwidth_hz" if one.given("bandwidth_hz") else "bandwidth_mhz"
    if one.given("bandwidth_hz") and one.value("bandwidth_hz") >= one.value("frequency_hz"):
        what = f"is {one.told('bandwidth_hz')}, not less than the frequency."
        yield one.problem(told, what, "Are the two exchanged?")
    elif not one.given("bandwidth_hz") and one.given("noise_figure_db"):
        what = "is missing: how much noise the receiver lets in follows from it."
        remedy = "Write it, or sensitivity_dbm in place of noise_figure_db and needed_ratio_db."
        yield one.problem(told, what, remedy)


def _power_problems(one: Entry) -> Iterator[Problem]:
    """Yield where the sender's strength is said twice or not at all."""
    told = [key for key in _EIRP if one.given(key)]
    others = [key for key in _POWER if one.given(key)]
    if len(told) > 1:
        yield one.problem("eirp", "is stated twice.", "Keep one of eirp_w and eirp_dbm.")
    if told and others:
        what = f"is stated, and {' and '.join(others)} too: two answers to one question."
        yield one.problem(told[0], what, "EIRP is power less loss plus gain: keep one.")
    elif told and one.given("efficiency_ratio"):
        what = f"is stated, but {told[0]} leaves the power open."
        yield one.problem("efficiency_ratio", what, "Write heat_w.")
    elif not told and not one.given("power_w"):
        remedy = "Write power_w, or eirp_w in place of power, loss and gain."
        yield one.problem("power_w", "is missing.", remedy)


def _test_problems(one: Entry) -> Iterator[Problem]:
    """Yield where a ground test is told by half or twice."""
    far, found = one.given("tested_m"), one.given("tested_margin_db")
    if far != found or (one.given("tested_attenuator_db") and not far):
        what = "is told by half: a ground test has a distance and a margin."
        yield one.problem("tested", what, "Write tested_m and tested_margin_db.")
    if (far or found) and one.given("offset_db"):
        what = "is stated, and a ground test too: two answers to one question."
        yield one.problem("offset_db", what, "Leave it out: the test says it.")


def law_problems(links: list[Entry]) -> Iterator[Problem]:
    """Yield what the laws of antennas and noise refuse, for links without other problems.

    The laws bring the compiler along, which takes its time: only links with an antenna wait for it.
    """
    for one in links:
        if _is_plain(one) or any(n.given and math.isnan(n.value) for n in one.numbers.values()):
            continue
        yield from islice(_refusals(one), 1)


def _refusals(one: Entry) -> Iterator[Problem]:
    """Yield what the laws refuse: each antenna, then the budget as soon as all patterns are known.

    After the first refusal no law is asked about the rest.
    """
    for end in ENDS:
        problem = law_problem(one, end)
        if problem is not None:
            yield problem
    if any(one.texts[f"{end}_antenna"] == MEASURED for end in ENDS):
        return
    from farglide.radio.budget import budget_of

    try:
        budget_of(link_spec(one, Path()))
    except (InputError, ContradictionError) as error:
        yield one.problem("", f"{error}")


def _is_plain(one: Entry) -> bool:
    """Tell whether the laws have no say: gains alone, dry, and no range walk to be read back."""
    words = [one.texts[f"{end}_antenna"] for end in ENDS] + [one.texts["surroundings"]]
    told = any(one.given(key) for key in ("rain_mmph", "reached_m", "tested_m"))
    return words == [STATED_GAIN, STATED_GAIN, NO_PLACE] and not told
