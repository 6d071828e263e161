"""The flight file that a new flight begins with."""

from importlib.resources import files


def template_text() -> str:
    """Return a flight file with every key, its unit and a comment, ready to be filled in."""
    asset = files("farglide.flightfile") / "assets" / "new-flight.toml"
    return asset.read_text(encoding="utf-8")
