"""What the climbing balloon's links hold, in words."""

from collections.abc import Sequence

from farglide.outlook.links import HeldStep
from farglide.present.say.text import km_text, number_text


def rising_steps(held: Sequence[HeldStep]) -> list[HeldStep]:
    """Return the steps of the climb upward; a balloon that sinks again is left to the clock."""
    kept: list[HeldStep] = []
    for step in held:
        if not kept or step.amsl_m > kept[-1].amsl_m:
            kept.append(step)
    return kept


def has_picture(held: Sequence[HeldStep]) -> bool:
    """Tell whether a picture link was asked about."""
    return any(step.picture_db is not None for step in held)


def has_command(held: Sequence[HeldStep]) -> bool:
    """Tell whether a command link was asked about."""
    return any(step.command_db is not None for step in held)


def held_sentence(held: Sequence[HeldStep]) -> str:
    """Return both columns in words, for those who do not see them."""
    steps = rising_steps(held)
    if not steps:
        return ""
    parts = []
    if has_picture(held):
        worst = min(steps, key=lambda step: step.grade)
        parts.append(f"Picture grade {worst.grade} at least, at {km_text(worst.amsl_m)} km")
    if has_command(held):
        weakest = min((s for s in steps if s.command_db is not None), key=_command_db)
        least_db = number_text(_command_db(weakest))
        parts.append(f"command {least_db} dB in hand at least, at {km_text(weakest.amsl_m)} km")
    if not parts:
        return "No stand is manned while the balloon climbs."
    words = ", ".join(parts)
    return f"{words[0].upper()}{words[1:]}."


def _command_db(step: HeldStep) -> float:
    return step.command_db if step.command_db is not None else 0.0
