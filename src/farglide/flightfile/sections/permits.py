"""Permits section: what is held, asked for or missing, and which permissions concern a flight."""

from collections.abc import Collection
from typing import Final

from farglide.flightfile.entries import Section, quoted

PERMISSIONS: Final = {
    "airspace": "the balloon in this airspace",
    "aircraft": "the glider out of sight after the release",
    "command_radio": "the radio that commands, in the air and on the ground",
    "picture_radio": "the radio that sends the picture, in the air",
    "land": "the land of launch and fields",
}
_OF_RADIOS: Final = {"command_radio": "command", "picture_radio": "picture"}
_OF_GLIDERS: Final = ("aircraft",)
PERMISSION_STATES: Final = ("held", "asked", "not needed", "missing")


def needed_permissions(is_box: bool, purposes: Collection[str]) -> tuple[str, ...]:
    """Return which permissions concern a flight: none of gliders for a box, none without its radio.

    >>> needed_permissions(True, {"position"})
    ('airspace', 'land')
    """
    left_out = _OF_GLIDERS if is_box else ()
    return tuple(
        key for key in PERMISSIONS
        if key not in left_out and _OF_RADIOS.get(key, "") in ("", *purposes)
    )  # fmt: skip


PERMITS: Final = Section(
    name="permissions",
    about="What is held and what is missing. Nothing is judged here; a missing one is printed: "
    "that of a radio where such a one is among the links or no link is stated, that of a "
    "glider where one flies.",
    choices=dict.fromkeys(PERMISSIONS, (PERMISSION_STATES, "missing")),
    words={
        key: f'{what}; one of {quoted(PERMISSION_STATES)}; left out: ``"missing"``'
        for key, what in PERMISSIONS.items()
    },
)
