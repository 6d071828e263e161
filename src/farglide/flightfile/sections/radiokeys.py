"""Radio keys: the numbers of links and stands, one row each, as the flight file may state them."""

from typing import Final

from farglide.flightfile.reading.endings import (
    ANGLE,
    DECIBEL,
    DENSITY,
    DISTANCE,
    FREQUENCY,
    GAIN,
    HEIGHT,
    LEVEL,
    POWER,
    RAIN,
    TIME,
)
from farglide.flightfile.reading.keys import quantity, shares
from farglide.sortie.spec import Tag

_TOP_HZ: Final = 15e9  # there the law of the gases ends
_BENCH: Final = "measure it on the bench with an attenuator"

LINK: Final = (
    quantity("frequency", FREQUENCY, (30e6, _TOP_HZ), "it works at", required=True),
    quantity("bandwidth", FREQUENCY, (10.0, 1e9), "its bandwidth is", required=True),
    quantity(
        "power",
        POWER,
        (1e-6, 100.0),  # 50 dBm: above it are milliwatts written as watts
        "the transmitter puts out",
        doubt=shares(0.1, 0.2, 0.4),
        settle=_BENCH,
    ),
    quantity(
        "sender_loss", DECIBEL, (0.0, 30.0), "cable and plugs at the transmitter take", default=0.0,
        tag=Tag.TYPICAL,
    ),
    quantity(
        "sender_gain", GAIN, (-30.0, 50.0), "the transmitting antenna gains", default=0.0,
        tag=Tag.TYPICAL,
    ),
    quantity(
        "receiver_gain", GAIN, (-30.0, 50.0), "the receiving antenna gains", default=0.0,
        tag=Tag.TYPICAL,
    ),
    quantity(
        "receiver_loss", DECIBEL, (0.0, 30.0), "cable and plugs at the receiver take", default=0.0,
        tag=Tag.TYPICAL,
    ),
    quantity(
        "eirp", POWER, (1e-3, 1000.0), "or in place of power, loss and gain of the sender, EIRP is"
    ),
    quantity("eirp", LEVEL, (0.0, 63.0), "which may be stated in dBm"),
    quantity("noise_figure", DECIBEL, (0.0, 30.0), "the receiver's noise figure is"),
    quantity(
        "needed_ratio", DECIBEL, (-40.0, 60.0), "it needs a carrier above its noise by at least"
    ),
    quantity("sensitivity", LEVEL, (-160.0, -20.0), "in place of both, it just works with"),
    quantity(
        "offset",
        DECIBEL,
        (-60.0, 20.0),
        "in the ground test it stood off its budget by",
        default=0.0,
        tag=Tag.TYPICAL,
        settle="the ground test: a known distance, an attenuator, and what just ends the link",
    ),
    quantity(
        "tested",
        DISTANCE,
        (1.0, 500_000.0),
        "or in place of that, in the ground test its ends stood apart by",
    ),
    quantity(
        "tested_attenuator",
        DECIBEL,
        (0.0, 120.0),
        "with an attenuator in the way of",
    ),
    quantity(
        "tested_margin",
        DECIBEL,
        (-60.0, 120.0),
        "and had a margin of",
        settle="add attenuators until it just ends: their sum is the margin",
    ),
    quantity(
        "spread",
        DECIBEL,
        (0.0, 30.0),
        "with that, its budget may still be off by",
        settle="the ground test",
    ),
    quantity(
        "intermediate",
        FREQUENCY,
        (1e3, 5e9),
        "its receiver's intermediate frequency, for the image that it hears too, is",
    ),
    quantity(
        "people_limit",
        DENSITY,
        (1e-3, 1e4),
        "of its power density, people may be given by the rules of your country at most",
    ),
    quantity(
        "reached", DISTANCE, (10.0, 2e6), "in place of all three, it once just reached as far as"
    ),
    quantity("rain", RAIN, (0.0, 150.0), "it is to work through rain of", choice=True),
)  # fmt: skip

TERRAIN: Final = (
    quantity(
        "void",
        HEIGHT,
        (-500.0, 9000.0),
        "posts of this height are gaps or sea, for files that do not mark them",
    ),
)

STAND: Final = (
    quantity("lat", ANGLE, (-89.0, 89.0), "it lies at latitude", required=True),
    quantity("lon", ANGLE, (-180.0, 180.0), "and longitude", required=True),
    quantity(
        "amsl",
        HEIGHT,
        (-430.0, 6000.0),
        "its ground lies above mean sea level at",
        settle="read it off a topographic map",
    ),
    quantity(
        "mast",
        HEIGHT,
        (0.5, 30.0),
        "the antennas stand above the ground at",
        default=2.0,
        tag=Tag.TYPICAL,
    ),
    quantity(
        "drive",
        TIME,
        (0.0, 86_400.0),
        "the drive there from the launch takes, nine times in ten, less than",
        settle="drive it once",
    ),
    quantity("nose", ANGLE, (0.0, 360.0), "there the car stands with its nose toward"),
)
