"""Permissions of a flight file: those left out are missing, and which concern a flight."""

from farglide.flightfile.sections.permits import PERMISSIONS, PERMITS, needed_permissions

from ..conftest import Entered, Told


def test_permissions_left_out_are_missing(entered: Entered, told: Told) -> None:
    one = entered(PERMITS, '[permissions]\nland = "Held"')
    assert one.texts == {**dict.fromkeys(PERMISSIONS, "missing"), "land": "held"}
    # no numbers, so no lists of their origins
    assert "guesses: is not a key" in told(PERMITS, "[permissions]\nguesses = []")[0]


def test_a_permission_concerns_what_flies_and_the_radios_that_are_there() -> None:
    every = ("picture", "command", "position")
    assert needed_permissions(False, every) == tuple(PERMISSIONS)
    assert needed_permissions(False, ("picture",)) == (
        "airspace", "aircraft", "picture_radio", "land",
    )  # fmt: skip
    assert needed_permissions(True, every) == ("airspace", "command_radio", "picture_radio", "land")
