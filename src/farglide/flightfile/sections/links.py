"""Links: their keys, the link out of its entry, and what in it cannot hold together."""

import math
from dataclasses import replace
from pathlib import Path
from typing import Final

from farglide.flightfile.entries import Entry, Section, quoted
from farglide.flightfile.reading import endings as unit
from farglide.flightfile.reading.keys import (
    Numbers,
    Quantity,
    Stated,
    needed,
    shares,
    stand_in,
    typical,
)
from farglide.flightfile.reading.reader import Reader
from farglide.flightfile.sections.antennafile import end_of
from farglide.flightfile.sections.antennakeys import (
    ANTENNA_CHOICES,
    ENDS,
    ENDS_KEYS,
    GAIN_SPAN,
    PATTERN_FILES,
    SURROUNDINGS,
)
from farglide.flightfile.sections.antennawords import end_words, misread, with_antenna_words
from farglide.flightfile.sections.case import CASE_ROWS, fill_case, transmitter_case
from farglide.radio.ends.end import GroundTest
from farglide.radio.path.rain import TOP_M, rain_top_m
from farglide.sortie.known import Tag
from farglide.sortie.spec import UNTESTED_SD_DB, LinkSpec

_TESTED_DB: Final = 3.0
_USUAL_WIDTH_HZ: Final = {"picture": 16e6, "command": 25e3, "position": 25e3}
_TOP_HZ: Final = 15e9  # there the law of the gases ends
_ROWS: Final = (
    needed("frequency", unit.FREQUENCY, (30e6, _TOP_HZ), "it works at"),
    Quantity("bandwidth", unit.FREQUENCY, (10.0, 1e9), "its bandwidth is", tag=Tag.TYPICAL),
    # 50 dBm at most: above it are milliwatts written as watts
    Quantity("power", unit.POWER, (1e-6, 100.0), "the transmitter puts out",
             doubt=shares(0.1, 0.2, 0.4), settle="measure it on the bench with an attenuator"),
    typical("sender_loss", unit.DECIBEL, (0.0, 30.0),
            "cable and plugs at the transmitter take", 0.0),
    typical("sender_gain", unit.GAIN, GAIN_SPAN, "the transmitting antenna gains", 0.0),
    typical("receiver_gain", unit.GAIN, GAIN_SPAN, "the receiving antenna gains", 0.0),
    typical("receiver_loss", unit.DECIBEL, (0.0, 30.0),
            "cable and plugs at the receiver take", 0.0),
    Quantity("eirp", unit.POWER, (1e-3, 1000.0),
             "or in place of power, loss and gain of the sender, EIRP is"),
    Quantity("eirp", unit.LEVEL, (0.0, 63.0), "which may be stated in dBm"),
    Quantity("noise_figure", unit.DECIBEL, (0.0, 30.0), "the receiver's noise figure is"),
    Quantity("needed_ratio", unit.DECIBEL, (-40.0, 60.0),
             "it needs a carrier above its noise by at least"),
    Quantity("sensitivity", unit.LEVEL, (-160.0, -20.0), "in place of both, it just works with"),
    typical("offset", unit.DECIBEL, (-60.0, 20.0),
            "in the ground test it stood off its budget by", 0.0,
            settle="the ground test: a known distance, an attenuator, and what just ends the link"),
    Quantity("tested", unit.DISTANCE, (1.0, 500_000.0),
             "or in place of that, in the ground test its ends stood apart by"),
    Quantity("tested_attenuator", unit.DECIBEL, (0.0, 120.0), "with an attenuator in the way of"),
    Quantity("tested_margin", unit.DECIBEL, (-60.0, 120.0), "and had a margin of",
             settle="add attenuators until it just ends: their sum is the margin"),
    Quantity("spread", unit.DECIBEL, (0.0, 30.0), "with that, its budget may still be off by",
             settle="the ground test"),
    Quantity("intermediate", unit.FREQUENCY, (1e3, 5e9),
             "its receiver's intermediate frequency, for the image that it hears too, is"),
    Quantity("people_limit", unit.DENSITY, (1e-3, 1e4),
             "of its power density, people may be given by the rules of your country at most"),
    Quantity("reached", unit.DISTANCE, (10.0, 2e6),
             "in place of all three, it once just reached as far as"),
    Quantity("rain", unit.RAIN, (0.0, 150.0), "it is to work through rain of", choice=True),
)  # fmt: skip


def link_spec(one: Entry, folder: Path, depth_m: float = TOP_M) -> LinkSpec:
    """Return a link whose entry was found without problems.

    `folder`: that of the flight file; `depth_m`: of rain, see `rain_depth_m`.
    """
    numbers, eirp_w = one.numbers, eirp_of_w(one.numbers)
    return one.spec(
        LinkSpec,
        is_digital=one.texts["kind"] == "digital",
        power_w=eirp_w or numbers["power_w"].value,
        sender_loss_db=0.0 if eirp_w else numbers["sender_loss_db"].value,
        sender_gain_dbi=0.0 if eirp_w else _gain_dbi(numbers["sender_gain_dbi"]),
        receiver_gain_dbi=_gain_dbi(numbers["receiver_gain_dbi"]),
        spread_db=_spread_db(one),
        case=transmitter_case(one),
        sender_end=end_of(one, "sender", folder),
        receiver_end=end_of(one, "receiver", folder),
        rain_mmph=one.stated("rain_mmph") or 0.0,
        rain_depth_m=depth_m,
        tested=_tested(one),
        is_eirp=eirp_w is not None,
    )


def rain_depth_m(launch: Entry, stands: list[Entry]) -> float:
    """Return how high rain reaches over the lowest stand, or over the launch without one."""
    lowest_m = min(one.value("amsl_m") for one in (stands or [launch]))
    return max(rain_top_m(*launch.place) - max(lowest_m, 0.0), 0.0)


def eirp_of_w(numbers: Numbers) -> float | None:
    """Return what leaves the antenna in watts, None where power, loss and gain are stated."""
    if numbers["eirp_w"].given:
        return numbers["eirp_w"].value
    if numbers["eirp_dbm"].given:
        return math.pow(10.0, 0.1 * numbers["eirp_dbm"].value - 3.0)
    return None


def _finish(_: Reader, one: Entry) -> None:
    """Put in what stands for a case's missing numbers, and for a bandwidth that nothing asks for.

    With a sensitivity or a range, it only tells which bands meet. Usual widths: common practice,
    no source.
    """
    fill_case(one)
    width_hz = _USUAL_WIDTH_HZ[one.texts["purpose"]]
    stand_in(
        one.numbers, "bandwidth_hz", min(width_hz, 0.1 * one.value("frequency_hz")), Tag.TYPICAL
    )


def fill_radio(links: list[Entry]) -> None:
    """Put the gains that antennas have by their measures in their places.

    An EIRP leaves loss and gain of the sender unsaid.
    """
    for one in links:
        if eirp_of_w(one.numbers) is not None:
            for key in ("sender_loss_db", "sender_gain_dbi"):
                one.numbers[key] = replace(one.numbers[key], value=math.nan)
        for end in ENDS:
            gain = one.numbers[f"{end}_gain_dbi"]
            spec = end_of(one, end, Path())
            if not spec.has_pattern or gain.given or math.isnan(gain.value):
                continue
            from farglide.radio.ends.gear import own_gain_dbi

            one.numbers[f"{end}_gain_dbi"] = replace(gain, value=own_gain_dbi(spec))


def _tested(one: Entry) -> GroundTest | None:
    distance_m, margin_db = one.stated("tested_m"), one.stated("tested_margin_db")
    if distance_m is None or margin_db is None:
        return None
    attenuator_db = one.stated("tested_attenuator_db") or 0.0
    return GroundTest(distance_m=distance_m, attenuator_db=attenuator_db, margin_db=margin_db)


def _gain_dbi(gain: Stated) -> float:
    """Return a gain; that of a measured antenna is not known before its file is read."""
    return 0.0 if math.isnan(gain.value) else gain.value


def _spread_db(one: Entry) -> float:
    """Return the doubt about a budget: as stated, else by whether a ground test stands behind it.

    Common practice, no source: a budget on paper may be off by 8 dB, a tested one by 3.
    """
    stated = one.stated("spread_db")
    if stated is not None:
        return stated
    is_tested = one.given("offset_db") or one.given("tested_m")
    return _TESTED_DB if is_tested else UNTESTED_SD_DB


LINKS: Final = Section(
    name="links",
    noun="link",
    about="One section for each radio way. Its threshold is stated in one of three ways: noise "
    "figure and needed carrier to noise, a sensitivity, or a range once just reached in sight, "
    "both ends level and whole; only the first asks for the bandwidth. "
    "Its sender is stated by power, loss and gain, or by its EIRP. "
    "With the antenna of an end, its pattern counts by elevation, the median over "
    "headings and over the sides to which a ``swing`` leans it; an aimed one loses the mean of "
    "its aim; polarisation the mean over all rolls, or over the glider's ``swing`` where it is "
    "stated. How far all that spreads is added to the doubt, as squares. "
    "With heat (or efficiency), area and mass of its case, it is told how warm the transmitter "
    "gets.",
    rows=(*_ROWS, *ENDS_KEYS, *CASE_ROWS),
    texts=("name", *(f"{end}_{key}" for end in ENDS for key in PATTERN_FILES)),
    choices={
        "purpose": (("command", "picture", "position"), None),
        "kind": (("analogue", "digital"), "analogue"),
        **ANTENNA_CHOICES,
    },
    lists=("needs",),
    finish=_finish,
    spell=with_antenna_words,
    misread=misread,
    words={
        "name": "the link's name; no two alike",
        "purpose": '**required.** ``"command"``, ``"picture"`` or ``"position"``',
        "kind": '``"analogue"``, which fades, or ``"digital"``, which freezes; else analogue',
        **end_words("sender", "the transmitter, aboard unless it sends commands"),
        **end_words("receiver", "the receiver, aboard if it hears commands"),
        "surroundings": "of the receiver, near the ground, for the noise it hears besides its "
        f"own: {quoted(SURROUNDINGS)}; else none. With ``noise_figure`` only; to 250 MHz, in "
        "a city to 900 MHz",
        "needs": 'a list of parts without which the link is lost; ``"pack all"`` is the pack of '
        "that name",
    },
)
