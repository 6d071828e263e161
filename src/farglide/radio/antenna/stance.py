"""Stance: which way the axis of an antenna points, and how such antennas usually stand."""

from typing import Final, Literal, NamedTuple

Stance = Literal["aimed", "up", "down", "level"]


class UsualStance(NamedTuple):
    """How a kind of antenna stands where nobody says more."""

    on_the_ground: Stance
    aboard: Stance


UPRIGHT: Final = UsualStance("up", "up")
"""Of whips: the wire stands up, on a mast as on a glider."""
SKYWARD: Final = UsualStance("up", "down")
"""Of what is alike over half of the sky: that half is turned to the other end."""
AIMED: Final = UsualStance("aimed", "aimed")
"""Of what has a boresight."""
