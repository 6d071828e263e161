"""On the ground in words: a latest launch only where there is a release to be late for."""

from dataclasses import replace

from farglide.outlook.outlook import Outlook
from farglide.present.say.ground import fill_sentences, latest_words
from farglide.present.say.text import FlightClock


def test_the_latest_launch_is_a_time(outlook: Outlook) -> None:
    clock = FlightClock(launch_t_s=outlook.launch_t_s, zone=outlook.zone)
    assert outlook.release is not None
    dark = replace(outlook, release=replace(outlook.release, must_end_by="light"))
    assert latest_words(dark, clock) == ("latest launch 17:20: later it gets dark too soon")
    packs = replace(outlook, release=replace(outlook.release, must_end_by="packs"))
    assert latest_words(packs, clock) == (
        "latest launch 17:20: later the packs, on as planned, end too soon"
    )
    planned = replace(packs, latest_launch_delay_s=0.0)
    assert latest_words(planned, clock).startswith("latest launch 16:40, as planned: later the ")
    assert latest_words(replace(outlook, latest_launch_delay_s=None), clock) == ""
    assert latest_words(replace(outlook, release=None), clock) == ""


def test_the_fill_is_a_weight_and_what_gas_it_takes(outlook: Outlook) -> None:
    hang, gas = fill_sentences(outlook)
    assert hang == "Hang 1\u2009600 g on the neck: it must just float."
    assert gas.startswith("That takes 2.28 m³ of hydrogen, ")
    assert gas.endswith(" of a 50 l bottle at 200 bar.")
