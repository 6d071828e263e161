"""Every number of a flight file by its row in the table: range, kind, unit, spelling, doubt."""

import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from farglide.flightfile.flightfile import EVERY as SECTIONS
from farglide.flightfile.flightfile import FlightFile
from farglide.flightfile.reading.keys import Quantity
from farglide.units import FOOT_M, KNOT_MPS

Document = dict[str, Any]
Put = Callable[[Document, str, Document], Document]
Read = Callable[[Document], FlightFile]
Refusals = Callable[[Document], list[str]]
State = Callable[[str, Quantity, Document], Document]

EVERY = [(one.name, row) for one in SECTIONS if "." not in one.name for row in one.rows]
IDS = [f"{section}.{one.key}" for section, one in EVERY]
RIVALS = {"lift_max": "stall_eas_mps", "stall_eas_mps": "lift_max"}
# A factor takes over the origin of what it multiplies, a wing's measure that of the others.
TAKES_OVER = ("drag_factor", "glide_factor", "chord_m", "area_m2", "aspect_ratio")


@pytest.fixture
def state(document: Document, put: Put) -> State:
    """Return a function that gives the demo with one quantity stated by the given keys alone."""

    def change(section: str, one: Quantity, keys: Document) -> Document:
        blank = dict.fromkeys((*one.keys, *one.spread_keys, "typical", "guesses"))
        blank |= {RIVALS[one.key]: None} if one.key in RIVALS else {}
        document.setdefault("launch_places", [{"lat_deg": -46.3, "lon_deg": 107.7}])
        document.setdefault("feeds", [{"from": "udp://:5005"}])
        return put(document, section, {**blank, **keys})

    return change


@pytest.mark.parametrize(("section", "one"), EVERY, ids=IDS)
@pytest.mark.parametrize("end", ["low", "high"])
def test_value_outside_its_range_is_refused_by_name_value_and_range(
    section: str, one: Quantity, end: str, state: State, refusals: Refusals
) -> None:
    low, high = one.span
    step = 0.01 * (high - low) + 0.001
    value = low - step if end == "low" else high + step
    found = refusals(state(section, one, {one.key: value}))
    number = np.format_float_positional(float(f"{value:.6g}"), trim="-")  # without a power of ten
    mine = [text for text in found if f"] {one.key}: is {number}" in without_number(text)]
    assert len(mine) == 1, found
    assert "allowed: " in mine[0]


def without_number(text: str) -> str:
    """Return a problem without the number of its entry: [[packs]] 1 load_w is [[packs] load_w."""
    for i in range(1, 5):
        text = text.replace(f"]] {i} ", "] ")
    return text


@pytest.mark.parametrize(("section", "one"), EVERY, ids=IDS)
@pytest.mark.parametrize(
    ("value", "word"),
    [
        (math.nan, "a finite number"),
        (math.inf, "a finite number"),
        (-math.inf, "a finite number"),
        (True, "is true, not a number"),
        ("12", 'is "12", not a number'),
        ([1.0], "not a number"),
        (10**400, "a finite number"),
    ],
    ids=["nan", "inf", "minus inf", "true", "text", "list", "huge"],
)
def test_what_is_no_number_is_refused(
    section: str, one: Quantity, value: object, word: str, state: State, refusals: Refusals
) -> None:
    found = refusals(state(section, one, {one.key: value}))
    assert [text for text in found if one.key in text and word in text], found


@pytest.mark.parametrize(("section", "one"), [pair for pair in EVERY if pair[1].required])
def test_required_value_is_asked_for(
    section: str, one: Quantity, state: State, refusals: Refusals
) -> None:
    found = refusals(state(section, one, {}))
    key = one.key_in("mhz") if "mhz" in one.units else one.key
    assert [text for text in found if f"{key}: is missing. Allowed: " in text], found


OPTIONAL = [
    pair
    for pair in EVERY
    # the one threshold and the one strength of the command
    # a payload stands in place of the demo's glider: see test_payload
    if not pair[1].required
    and pair[1].base not in ("sensitivity", "power")
    and pair[0] != "payload"
]


@pytest.mark.parametrize(("section", "one"), OPTIONAL)
def test_value_left_out_stands_in_with_its_origin(
    section: str, one: Quantity, state: State, read: Read
) -> None:
    lines = read(state(section, one, {})).inputs
    mine = [line for line in lines if line.section.startswith(section) and line.row.key == one.key]
    left_out = [line for line in mine if not line.number.given]
    assert all(line.number.tag is one.tag or one.key in TAKES_OVER for line in left_out)
    if one.default is not None:
        assert left_out
        assert {line.number.value for line in left_out} == {one.default}


@pytest.mark.parametrize(("section", "one"), EVERY, ids=IDS)
def test_wrong_unit_tells_the_allowed_ones(
    section: str, one: Quantity, state: State, refusals: Refusals
) -> None:
    told = refusals(state(section, one, {f"{one.base}_furlongs": 1.0}))
    found = [text for text in told if "furlongs" in text]
    assert len(found) == 1
    assert "is not a key of this section. Allowed: " in found[0]
    assert all(key in found[0] for key in one.keys)


@pytest.mark.parametrize(("section", "one"), [pair for pair in EVERY if len(pair[1].units) > 1])
def test_two_units_of_one_quantity_are_refused(
    section: str, one: Quantity, state: State, refusals: Refusals
) -> None:
    told = refusals(state(section, one, dict.fromkeys(one.keys, 1.0)))
    found = [text for text in told if "are the same quantity. Keep one of them." in text]
    assert len(found) == 1
    assert " and ".join(one.keys) in found[0]


@pytest.mark.parametrize(("section", "one"), EVERY, ids=IDS)
def test_misspelt_key_is_met_with_the_right_one(
    section: str, one: Quantity, state: State, refusals: Refusals
) -> None:
    wrong = one.key[0] + one.key
    told = refusals(state(section, one, {wrong: 1.0}))
    found = [text for text in told if f"{wrong}: is not a key" in text]
    assert len(found) == 1
    assert "Did you mean" in found[0]


@pytest.mark.parametrize(("section", "one"), [pair for pair in EVERY if pair[1].doubt])
def test_spread_below_zero_or_stated_twice_is_refused(
    section: str, one: Quantity, state: State, refusals: Refusals
) -> None:
    ratio, percent = list(one.spread_keys)[-2:]
    found = [text for text in refusals(state(section, one, {ratio: -0.1})) if "_spread" in text]
    assert len(found) == 1
    assert "is -0.1; allowed: 0 to 1." in found[0]
    told = refusals(state(section, one, {ratio: 0.1, percent: 10.0}))
    assert [text for text in told if f"{ratio} and {percent}: are the same" in text]


def test_spread_in_the_units_of_the_number(document: Document, put: Put, read: Read) -> None:
    put(document, "balloon", {"neck_lift_spread_kg": None, "neck_lift_spread_g": 25})
    assert read(document).sortie.balloon.neck_lift_kg.sd == 0.025
    put(document, "balloon", {"neck_lift_spread_g": None, "neck_lift_spread_percent": 5})
    assert read(document).sortie.balloon.neck_lift_kg.sd == pytest.approx(0.1075)


def test_units_of_the_trade_mean_the_same_numbers(document: Document, put: Put, read: Read) -> None:
    glider = {
        "mass_g": 680,
        "area_dm2": 15,
        "top_eas_kt": 32.0 / KNOT_MPS,
        "stall_eas_kmph": 32.4,
        "lift_max": None,
    }
    put(document, "glider", {"mass_kg": None, "area_m2": None, "top_eas_mps": None, **glider})
    put(document, "launch", {"amsl_m": None, "amsl_ft": 240.0 / FOOT_M})
    put(document, "balloon", {"burst_diameter_m": None, "burst_diameter_cm": 660})
    put(document, "packs", {"load_w": None, "load_mw": 7000})
    put(document, "doubt", {"ascent_ratio": None, "ascent_percent": 5})
    sortie = read(document).sortie
    assert sortie.glider.mass_kg == 0.68
    assert sortie.glider.area_m2 == 0.15
    # 9 m/s, with 0.68 kg on 0.15 m2 at 1.225 kg/m3
    assert sortie.glider.lift_max == pytest.approx(0.8961, abs=1e-3)
    assert sortie.glider.top_eas_mps == pytest.approx(32.0, rel=1e-12)
    assert sortie.launch.amsl_m == pytest.approx(240.0, rel=1e-12)
    assert sortie.balloon.burst_diameter_m.value == 6.6
    assert sortie.packs[0].load_w == 7.0
    assert sortie.doubt.ascent_ratio == 0.05


@pytest.mark.parametrize(
    ("section", "old", "new", "ask"),
    [
        (
            "balloon", "neck_lift_kg", {"neck_lift_kg": 1600},
            "is 1600 kg; allowed: 0.02 to 15 kg. Is that grams? Write neck_lift_g = 1600.",
        ),
        ("glider", "top_eas_mps", {"top_eas_mps": 115},
         "Is that kilometres an hour? Write top_eas_kmph = 115."),
        ("glider", "flown_ratio", {"flown_ratio": [0.5]},
         "Write the bare number: flown_ratio = 0.5"),
        ("launch", "lat_deg", {"lat_deg": "25°01S"},
         "Write the bare number: lat_deg = -25.016667"),
        ("balloon", "neck_lift_kg", {"neck_lift_g": 1.7},
         "Is that kilograms? Write neck_lift_kg = 1.7."),
        ("balloon", "mass_kg", {"mass_g": 1}, "Is that kilograms? Write mass_kg = 1."),
        ("glider", "mass_kg", {"mass_kg": 680}, "Is that grams? Write mass_g = 680."),
        ("glider", "mass_kg", {"mass_kg": -0.68}, "Is the sign right? mass_kg = 0.68 would fit."),
        ("glider", "mass_kg", {"mass_kg": "0,68"}, "Write the bare number: mass_kg = 0.68"),
        ("glider", "flown_ratio", {"flown_ratio": 85}, "Write flown_percent = 85."),
        ("glider", "chord_m", {"chord_m": 17}, "Is that centimetres? Write chord_cm = 17."),
        ("launch", "amsl_m", {"amsl_m": 12000}, "Is that feet? Write amsl_ft = 12000."),
        ("launch", "lon_deg", {"lon_deg": 252}, "West is negative: write lon_deg = -108."),
        ("glider", "mass_kg", {"mass_lb": 1.5}, "Allowed: mass_kg or mass_g."),
        ("packs", "energy_wh", {"energy_mah": 2600}, "energy_wh = mAh × volts / 1000."),
        ("drop", "pull_eas_mps", {"line_kg": 1.0}, "It belongs in [train]."),
        ("wish", "open_ratio", {"zzzz": 1.0}, "wanted_amsl_ft, wanted_amsl_m."),
    ],
)  # fmt: skip
def test_slip_of_unit_is_a_question(
    section: str, old: str, new: Document, ask: str, document: Document, put: Put,
    refusals: Refusals,
) -> None:  # fmt: skip
    told = refusals(put(document, section, {old: None, **new}))
    assert [text for text in told if text.endswith(ask)], told
