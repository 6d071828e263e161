"""farglide new: write a flight file to fill in."""

from pathlib import Path

from farglide.errors import InputError
from farglide.flightfile.template import template_text


def write_template(path: Path) -> str:
    """Return what to tell of a flight file just written; a file that is there is left alone."""
    write_new(path, template_text())
    return f'Wrote {path}. Fill in the lines marked "yours", then: farglide check {path}'


def check_name(path: Path) -> None:
    """Refuse at once, not after the questions, a name that is taken or cannot be written."""
    write_new(path, "")
    path.unlink()


def write_new(path: Path, text: str) -> None:
    """Write a file that is not there yet."""
    try:
        with path.open("x", encoding="utf-8") as file:
            file.write(text)
    except FileExistsError:
        raise InputError("FILE", path, "a name not yet taken", "It was left as it is.") from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or error
        remedy = f"It cannot be written: {reason}."
        raise InputError("FILE", path, "a file in a folder that is there", remedy) from None
