"""The check of a number's range, as the specs and laws of antennas share it."""

from farglide.errors import InputError


def check_range(
    name: str, value: float, unit: str, allowed: tuple[float, float], remedy: str = ""
) -> None:
    """Refuse a number outside its range, or none at all (NaN)."""
    if not allowed[0] <= value <= allowed[1]:
        text = f"{allowed[0]:g} to {allowed[1]:g} {unit}".rstrip()
        raise InputError(name, f"{value:g} {unit}".rstrip(), text, remedy)
