"""Ahead: what a release needs first, compiled or read while nobody waits for it."""

from farglide.sim.nothing import no_goals, no_reaches, no_releases, no_scene, no_states
from farglide.sim.reach.doors import floors_of
from farglide.sim.reach.spares import spares
from farglide.sim.tasks import particles


def for_release() -> None:
    """Have the kernels at hand that follow a glider after its release, asked once of nothing.

    Compiled for the first time they would take seconds, right when the glider is let go.
    """
    particles()
    scene, releases, reaches = no_scene(), no_releases(), no_reaches()
    floors = floors_of(scene, releases, reaches, no_goals())
    spares(scene, releases, no_states(), reaches, floors)
