"""Out files: the folder that a command writes into, checked before the work and filled after it."""

from collections.abc import Mapping
from pathlib import Path
from tempfile import TemporaryFile

from farglide.errors import InputError


def check_out(folder: Path | None, option: str = "--out") -> None:
    """Refuse at once, not after the work, what can be no folder; `option` named it."""
    if folder is None:
        return
    try:
        is_other = folder.exists() and not folder.is_dir()
    except OSError as error:
        raise InputError(option, folder, "a folder", f"{error.strerror}.") from error
    if is_other:
        raise InputError(option, folder, "a folder", "This is a file. Choose another name.")
    try:
        with TemporaryFile(dir=_there(folder)):  # leaves nothing behind, not even an empty folder
            pass
    except OSError as error:
        remedy = f"It cannot be written: {error.strerror}. Choose another folder."
        raise InputError(option, folder, "a folder that can be written", remedy) from error


def _there(folder: Path) -> Path:
    """Return a folder, or the nearest above it that is there already."""
    return next((one for one in (folder, *folder.absolute().parents) if one.exists()), folder)


def write_texts(texts: Mapping[str, str | bytes], folder: Path) -> None:
    """Write files by name into a folder: all whole, or none."""
    parts = {name: folder / f"{name}.part" for name in texts}
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name, text in texts.items():
            parts[name].write_bytes(text if isinstance(text, bytes) else text.encode("utf-8"))
        for name, part in parts.items():
            part.replace(folder / name)
    except OSError as error:
        if folder.is_dir():
            for part in parts.values():
                part.unlink(missing_ok=True)
        remedy = f"It cannot be written: {error.strerror}. Choose another folder."
        raise InputError("--out", folder, "a folder that can be written", remedy) from error
