"""Radio of a flight file: links and stands out of their entries, and what cannot hold together."""

import math
from collections.abc import Iterator
from dataclasses import replace
from itertools import islice
from pathlib import Path
from typing import Final, cast

from farglide.errors import ContradictionError, InputError, Problem
from farglide.flightfile.entries import Entry, Sheet
from farglide.flightfile.reading.keys import Stated
from farglide.flightfile.sections.antennafile import end_of, law_problem
from farglide.flightfile.sections.antennakeys import ENDS
from farglide.flightfile.sections.heatfile import case_of
from farglide.flightfile.standins import Numbers
from farglide.radio.stated import NO_PLACE, GroundTest, Purpose
from farglide.sortie.antennas import MEASURED, STATED_GAIN
from farglide.sortie.spec import UNTESTED_SD_DB, LinkSpec, StandSpec

_TESTED_DB: Final = 3.0
_EIRP: Final = ("eirp_w", "eirp_dbm")
_POWER: Final = ("power_w", "sender_loss_db", "sender_gain_dbi")
_THRESHOLDS: Final = (
    "Write noise_figure_db and needed_ratio_db, or sensitivity_dbm, or reached_km: one of the ways."
)


def link_spec(one: Entry, folder: Path) -> LinkSpec:
    """Return a link whose entry was found without problems; `folder`: that of the flight file."""
    numbers, eirp_w = one.numbers, eirp_of_w(one.numbers)
    return LinkSpec(
        name=one.name,
        purpose=cast(Purpose, one.texts["purpose"]),
        is_digital=one.texts["kind"] == "digital",
        frequency_hz=numbers["frequency_hz"].value,
        bandwidth_hz=numbers["bandwidth_hz"].value,
        power_w=eirp_w or numbers["power_w"].value,
        sender_loss_db=0.0 if eirp_w else numbers["sender_loss_db"].value,
        sender_gain_dbi=0.0 if eirp_w else _gain_dbi(numbers["sender_gain_dbi"]),
        receiver_gain_dbi=_gain_dbi(numbers["receiver_gain_dbi"]),
        receiver_loss_db=numbers["receiver_loss_db"].value,
        noise_figure_db=_stated(numbers, "noise_figure_db"),
        needed_ratio_db=_stated(numbers, "needed_ratio_db"),
        sensitivity_dbm=_stated(numbers, "sensitivity_dbm"),
        reached_m=_stated(numbers, "reached_m"),
        offset_db=numbers["offset_db"].value,
        spread_db=_spread_db(numbers),
        case=case_of(one),
        needs=one.lists["needs"],
        sender_end=end_of(one, "sender", folder),
        receiver_end=end_of(one, "receiver", folder),
        surroundings=one.texts["surroundings"],
        rain_mmph=_stated(numbers, "rain_mmph") or 0.0,
        tested=_tested(numbers),
        intermediate_hz=_stated(numbers, "intermediate_hz"),
        people_limit_wpm2=_stated(numbers, "people_limit_wpm2"),
        is_eirp=eirp_w is not None,
    )


def eirp_of_w(numbers: Numbers) -> float | None:
    """Return what leaves the antenna in watts, None where power, loss and gain are stated."""
    if numbers["eirp_w"].given:
        return numbers["eirp_w"].value
    if numbers["eirp_dbm"].given:
        return math.pow(10.0, 0.1 * numbers["eirp_dbm"].value - 3.0)
    return None


def stand_spec(one: Entry) -> StandSpec:
    """Return a stand whose entry was found without problems."""
    numbers = one.numbers
    return StandSpec(
        name=one.name,
        lat_deg=numbers["lat_deg"].value,
        lon_deg=numbers["lon_deg"].value,
        amsl_m=numbers["amsl_m"].value,
        mast_m=numbers["mast_m"].value,
        drive_s=_stated(numbers, "drive_s"),
        nose_deg=_stated(numbers, "nose_deg"),
    )


def link_problems(sheet: Sheet) -> Iterator[Problem]:
    """Yield what in the links cannot hold together."""
    for i, one in enumerate(sheet.links, start=1):
        where, numbers = f"[[links]] {i}", one.numbers
        if numbers["bandwidth_hz"].value >= numbers["frequency_hz"].value:
            what = f"is {numbers['bandwidth_hz'].value:g} Hz, not less than the frequency."
            yield Problem(f"{where} bandwidth", what, "Are the two exchanged?")
        pair = [numbers[key].given for key in ("noise_figure_db", "needed_ratio_db")]
        ways = [any(pair), numbers["sensitivity_dbm"].given, numbers["reached_m"].given]
        if sum(ways) != 1:
            what = "states more than one threshold." if any(ways) else "states no threshold."
            yield Problem(where, what, _THRESHOLDS)
        elif any(pair) and not all(pair):
            what = "states one of noise_figure_db and needed_ratio_db, and needs both."
            yield Problem(where, what, _THRESHOLDS)
        yield from _power_problems(where, numbers)
        yield from _test_problems(where, numbers)


def _power_problems(where: str, numbers: Numbers) -> Iterator[Problem]:
    """Yield where the sender's strength is said twice or not at all."""
    told = [key for key in _EIRP if numbers[key].given]
    others = [key for key in _POWER if numbers[key].given]
    if len(told) > 1:
        yield Problem(f"{where} eirp", "is stated twice.", "Keep one of eirp_w and eirp_dbm.")
    if told and others:
        what = f"is stated, and {' and '.join(others)} too: two answers to one question."
        yield Problem(f"{where} {told[0]}", what, "EIRP is power less loss plus gain: keep one.")
    elif told and numbers["efficiency_ratio"].given:
        what = f"is stated, but {told[0]} leaves the power open."
        yield Problem(f"{where} efficiency_ratio", what, "Write heat_w.")
    elif not told and not numbers["power_w"].given:
        remedy = "Write power_w, or eirp_w in place of power, loss and gain."
        yield Problem(f"{where} power_w", "is missing.", remedy)


def _test_problems(where: str, numbers: Numbers) -> Iterator[Problem]:
    """Yield where a ground test is told by half or twice."""
    far, found = numbers["tested_m"].given, numbers["tested_margin_db"].given
    if far != found or (numbers["tested_attenuator_db"].given and not far):
        what = "is told by half: a ground test has a distance and a margin."
        yield Problem(f"{where} tested", what, "Write tested_m and tested_margin_db.")
    if (far or found) and numbers["offset_db"].given:
        what = "is stated, and a ground test too: two answers to one question."
        yield Problem(f"{where} offset_db", what, "Leave it out: the test says it.")


def law_problems(links: list[Entry]) -> Iterator[Problem]:
    """Yield what the laws of antennas and noise refuse, for links without other problems.

    The laws bring the compiler along, which takes its time: only links with an antenna wait for it.
    """
    for i, one in enumerate(links, start=1):
        if _is_plain(one) or any(n.given and math.isnan(n.value) for n in one.numbers.values()):
            continue
        yield from islice(_refusals(f"[[links]] {i}", one), 1)


def fill_radio(sheet: Sheet) -> None:
    """Put the gains that antennas have by their measures in their places.

    An EIRP leaves loss and gain of the sender unsaid.
    """
    for one in sheet.links:
        if eirp_of_w(one.numbers) is not None:
            for key in ("sender_loss_db", "sender_gain_dbi"):
                one.numbers[key] = replace(one.numbers[key], value=math.nan)
        for end in ENDS:
            gain = one.numbers[f"{end}_gain_dbi"]
            spec = end_of(one, end, Path())
            if not spec.has_pattern or gain.given or math.isnan(gain.value):
                continue
            from farglide.radio.ends.fit import own_gain_dbi

            one.numbers[f"{end}_gain_dbi"] = replace(gain, value=own_gain_dbi(spec))


def _refusals(where: str, one: Entry) -> Iterator[Problem]:
    """Yield what the laws refuse: each antenna, then the budget as soon as all patterns are known.

    After the first refusal no law is asked about the rest.
    """
    for end in ENDS:
        problem = law_problem(where, one, end)
        if problem is not None:
            yield problem
    if any(one.texts[f"{end}_antenna"] == MEASURED for end in ENDS):
        return
    from farglide.radio.budget import budget_of

    try:
        budget_of(link_spec(one, Path()))
    except (InputError, ContradictionError) as error:
        yield Problem(where, f"{error}")


def _tested(numbers: Numbers) -> GroundTest | None:
    distance_m, margin_db = _stated(numbers, "tested_m"), _stated(numbers, "tested_margin_db")
    if distance_m is None or margin_db is None:
        return None
    attenuator_db = _stated(numbers, "tested_attenuator_db") or 0.0
    return GroundTest(distance_m=distance_m, attenuator_db=attenuator_db, margin_db=margin_db)


def _gain_dbi(gain: Stated) -> float:
    """Return a gain; that of a measured antenna is not known before its file is read."""
    return 0.0 if math.isnan(gain.value) else gain.value


def _is_plain(one: Entry) -> bool:
    """Tell whether the laws have no say: gains alone, dry, and no range walk to be read back."""
    words = [one.texts[f"{end}_antenna"] for end in ENDS] + [one.texts["surroundings"]]
    told = any(one.numbers[key].given for key in ("rain_mmph", "reached_m", "tested_m"))
    return words == [STATED_GAIN, STATED_GAIN, NO_PLACE] and not told


def _spread_db(numbers: Numbers) -> float:
    """Return the doubt about a budget: as stated, else by whether a ground test stands behind it.

    Common practice, no source: a budget on paper may be off by 8 dB, a tested one by 3.
    """
    stated = _stated(numbers, "spread_db")
    if stated is not None:
        return stated
    is_tested = numbers["offset_db"].given or numbers["tested_m"].given
    return _TESTED_DB if is_tested else UNTESTED_SD_DB


def _stated(numbers: Numbers, key: str) -> float | None:
    number = numbers[key]
    return number.value if number.given and not math.isnan(number.value) else None
