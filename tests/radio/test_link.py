"""Budgets against worked sums, and the demo's two links."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from farglide.errors import ContradictionError, InputError
from farglide.radio.link import (
    Link,
    Receiver,
    Sender,
    dbm_from_w,
    ground_test_offset_db,
    largest_loss_db,
    margin_db,
    noise_floor_dbm,
    reach_m,
    sensitivity_from_range_dbm,
    threshold_dbm,
)
from farglide.radio.picture import GRADE_DB, grade_of

PICTURE = Link(
    name="picture",
    purpose="picture",
    frequency_hz=2370e6,
    bandwidth_hz=16e6,
    sender=Sender(power_w=0.8, gain_dbi=2.0),
    receiver=Receiver(gain_dbi=18.0, loss_db=2.0, noise_figure_db=2.0, needed_ratio_db=9.0),
)
COMMAND = Link(
    name="command",
    purpose="command",
    frequency_hz=869.5e6,
    bandwidth_hz=100e3,
    sender=Sender(power_w=0.5, gain_dbi=9.0),
    receiver=Receiver(gain_dbi=-1.0, loss_db=3.0, sensitivity_dbm=-107.0),
)


@pytest.mark.parametrize(
    ("power_w", "gains", "megahertz", "km", "bandwidth_hz", "expected"),
    [
        # received, noise, C/N with 3 dB of losses and noise figure 3 dB: by hand, sums of ITU-R
        # P.525 and kTB at 290 K, printed to 0.01 dB
        (1.0, (2.0, 12.0), 1280.0, 60.0, 18e6, (-89.16, -98.42, 9.27)),
        (1.0, (2.0, 0.0), 1280.0, 60.0, 18e6, (-101.16, -98.42, -2.73)),
        (0.1, (0.0, 10.0), 433.92, 100.0, 125e3, (-98.20, -120.01, 21.81)),
    ],
)
def test_budgets(
    power_w: float,
    gains: tuple[float, float],
    megahertz: float,
    km: float,
    bandwidth_hz: float,
    expected: tuple[float, float, float],
) -> None:
    link = Link(
        name="sum",
        purpose="picture",
        frequency_hz=megahertz * 1e6,
        bandwidth_hz=bandwidth_hz,
        sender=Sender(power_w=power_w, gain_dbi=gains[0]),
        receiver=Receiver(gain_dbi=gains[1], noise_figure_db=3.0, needed_ratio_db=0.0),
    )
    ratio_db = margin_db(link, 1e3 * km, 3.0)
    assert noise_floor_dbm(link) == pytest.approx(expected[1], abs=0.006)
    assert ratio_db == pytest.approx(expected[2], abs=0.006)
    assert ratio_db + noise_floor_dbm(link) == pytest.approx(expected[0], abs=0.006)


def test_the_demo_picture() -> None:
    # computed by tests/by_hand: -99.9 dBm, threshold -90.93, 80 km, with 6 dB 40 km
    assert noise_floor_dbm(PICTURE) == pytest.approx(-99.9, abs=0.05)
    assert threshold_dbm(PICTURE) == pytest.approx(-90.93, abs=0.006)
    assert reach_m(PICTURE) / 1e3 == pytest.approx(80.0, abs=0.5)
    assert reach_m(PICTURE, 6.0) / 1e3 == pytest.approx(40.0, abs=0.5)
    # from the round hill at T+60 and T+76: slant 39.6 and 42.1 km, +6.1 and +5.6 dB
    assert margin_db(PICTURE, 39.6e3) == pytest.approx(6.1, abs=0.05)
    assert margin_db(PICTURE, 42.1e3) == pytest.approx(5.55, abs=0.05)


def test_the_demo_command() -> None:
    # tests/by_hand: 244 km, +15.3 dB
    assert reach_m(COMMAND) / 1e3 == pytest.approx(244.0, abs=0.5)
    assert margin_db(COMMAND, 42.1e3) == pytest.approx(15.3, abs=0.05)


def test_a_picture_ends_where_a_command_still_has_plenty() -> None:
    # common practice, no source: 1 W near 1.2 GHz with a high-gain antenna is near its limit at 70
    # to 80 km, where 2 W near 433 MHz still have well over 10 dB
    picture = Link(
        name="picture",
        purpose="picture",
        frequency_hz=1240e6,
        bandwidth_hz=18e6,
        sender=Sender(power_w=1.0, gain_dbi=1.0, loss_db=1.0),
        receiver=Receiver(gain_dbi=13.0, loss_db=1.0, noise_figure_db=3.0, needed_ratio_db=9.0),
    )
    command = Link(
        name="command",
        purpose="command",
        frequency_hz=433.92e6,
        bandwidth_hz=50e3,
        sender=Sender(power_w=2.0, gain_dbi=7.0, loss_db=1.0),
        receiver=Receiver(gain_dbi=-3.0, loss_db=3.0, sensitivity_dbm=-103.0),
    )
    assert 65e3 < reach_m(picture) < 90e3
    assert margin_db(command, 75e3) > 10.0


def test_a_range_once_reached_speaks_for_a_sensitivity() -> None:
    sensitivity = sensitivity_from_range_dbm(869.5e6, COMMAND.sender, -4.0, reach_m(COMMAND))
    assert sensitivity == pytest.approx(-107.0, abs=1e-9)
    # "5 W EIRP" is all that some know
    assert Sender(power_w=5.0).eirp_dbm == pytest.approx(36.99, abs=0.006)


@given(st.floats(1.0, 2.9e6), st.floats(0.0, 60.0))
def test_decibels_lost_on_the_way_are_lost_from_the_margin(distance_m: float, extra: float) -> None:
    whole = margin_db(PICTURE, distance_m)
    assert margin_db(PICTURE, distance_m, extra) == pytest.approx(whole - extra, abs=1e-9)


def test_grades_of_an_analogue_picture() -> None:
    # S/N 30 dB at the threshold, one more for each decibel: common practice, no source. Grade 4
    # from 36.6, grade 5 from 45.5: 23 - Q + 1.1 Q^2 of GB 7401, second-hand, printed to 0.1
    assert [grade_of(m, is_digital=False) for m in (6.5, 6.7, 15.4, 15.6)] == [3, 4, 4, 5]
    assert [GRADE_DB[q] for q in (5, 3, 1)] == [45.5, 29.9, 23.1]
    for q, ratio_db in GRADE_DB.items():
        assert ratio_db == pytest.approx(23.0 - q + 1.1 * q**2, abs=0.051)


def test_a_digital_picture_falls_off_a_cliff() -> None:
    # 3 dB from the best grade to none: common practice, no source
    assert [grade_of(m, is_digital=True) for m in (20.0, 3.0, 2.9, 0.0, -0.1)] == [5, 5, 3, 3, 0]


@pytest.mark.parametrize(
    ("build", "word"),
    [
        (lambda: Sender(power_w=5000.0), "30 dBm is 1 W"),
        (lambda: Sender(power_w=-1.0), "Give watts"),
        (lambda: Sender(power_w=math.nan), "Give watts"),
        (lambda: Sender(power_w=1.0, gain_dbi=400.0), "gain_dbi is 400 dBi"),
        (lambda: Sender(power_w=1.0, loss_db=-3.0), "A loss is above 0"),
        (lambda: Receiver(sensitivity_dbm=107.0), "A sensitivity is negative"),
        (lambda: Receiver(), "one of the two ways"),
        (lambda: Receiver(noise_figure_db=3.0), "one of the two ways"),
        (lambda: Receiver(noise_figure_db=-3.0, needed_ratio_db=9.0), "noise_figure_db"),
        (lambda: Receiver(noise_figure_db=3.0, needed_ratio_db=90.0), "needed_ratio_db"),
    ],
)
def test_numbers_out_of_range_are_refused(build: object, word: str) -> None:
    assert callable(build)
    with pytest.raises(InputError, match=word):
        build()


@pytest.mark.parametrize(
    ("changed", "word"),
    [
        ({"bandwidth_hz": -1.0}, "Give hertz"),
        ({"bandwidth_hz": 900e6, "frequency_hz": 869e6}, "less than the frequency"),
        ({"frequency_hz": 2.4}, "Write hertz"),
        ({"name": " "}, "a name"),
        ({"purpose": "music"}, "command, picture, position"),
    ],
)
def test_links_out_of_range_are_refused(changed: dict[str, object], word: str) -> None:
    given = {
        "name": "one",
        "purpose": "command",
        "frequency_hz": 869.5e6,
        "bandwidth_hz": 1e5,
        "sender": COMMAND.sender,
        "receiver": COMMAND.receiver,
    }
    with pytest.raises(InputError, match=word):
        Link(**(given | changed))  # type: ignore[arg-type]


def test_two_thresholds_are_refused() -> None:
    with pytest.raises(ContradictionError, match="two thresholds"):
        Receiver(sensitivity_dbm=-107.0, needed_ratio_db=9.0, noise_figure_db=2.0)


def test_a_noise_floor_needs_a_noise_figure() -> None:
    with pytest.raises(InputError, match="State it, or measure"):
        noise_floor_dbm(COMMAND)
    with pytest.raises(InputError, match="above 0"):
        dbm_from_w(0.0)
    with pytest.raises(InputError, match="margin_db"):
        grade_of(math.nan, is_digital=True)


def test_a_ground_test_shifts_the_whole_curve() -> None:
    # 20 dB at 1 km stand for 10 km: expected 38.1 dB less 20; measured 14 says 4.1 dB are missing
    expected = margin_db(PICTURE, 1e3, 20.0)
    assert expected == pytest.approx(margin_db(PICTURE, 10e3), abs=1e-9)
    offset = ground_test_offset_db(PICTURE, 1e3, 20.0, expected - 4.0)
    assert offset == pytest.approx(-4.0)
    shifted = replace(PICTURE, offset_db=offset)
    assert margin_db(shifted, 42e3) == pytest.approx(margin_db(PICTURE, 42e3) - 4.0)
    # the offset found is that against the bare budget, whatever was entered before
    again = ground_test_offset_db(shifted, 1e3, 20.0, expected - 4.0)
    assert again == pytest.approx(offset)
    with pytest.raises(InputError, match="above 0"):
        ground_test_offset_db(PICTURE, 1e3, -20.0, 10.0)
    with pytest.raises(InputError, match="offset_db"):
        replace(PICTURE, offset_db=-90.0)


def test_losses_everywhere_and_noise_from_outside_shorten_the_reach() -> None:
    worse = replace(PICTURE, extra_loss_db=6.0)
    assert largest_loss_db(worse) == pytest.approx(largest_loss_db(PICTURE) - 6.0)
    assert reach_m(worse) == pytest.approx(reach_m(PICTURE, 6.0))
    loud = replace(PICTURE, receiver=replace(PICTURE.receiver, noise_raise_db=3.0))
    assert noise_floor_dbm(loud) == pytest.approx(noise_floor_dbm(PICTURE) + 3.0)
    with pytest.raises(InputError, match="A loss is above 0"):
        replace(PICTURE, extra_loss_db=-1.0)
    with pytest.raises(InputError, match="noise_raise_db"):
        replace(PICTURE.receiver, noise_raise_db=-1.0)
