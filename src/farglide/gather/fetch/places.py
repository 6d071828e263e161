"""Places: the folders of this user in which fetched files and own settings lie."""

from collections.abc import Mapping
from pathlib import Path
from typing import Final

from farglide.errors import InputError

ADDRESSES: Final = "addresses.toml"


def fetched_folder(environment: Mapping[str, str]) -> Path:
    """Return where fetched files are kept: below FARGLIDE_CACHE, XDG_CACHE_HOME or ~/.cache.

    >>> fetched_folder({"XDG_CACHE_HOME": "/var/tmp/me"}).as_posix()
    '/var/tmp/me/farglide/fetched'
    """
    root = environment.get("FARGLIDE_CACHE") or environment.get("XDG_CACHE_HOME")
    return (Path(root) if root else _home("fetched files") / ".cache") / "farglide" / "fetched"


def own_addresses(environment: Mapping[str, str]) -> Path | None:
    """Return the user's own file of addresses, None where there is none.

    It lies in the folder `farglide` below XDG_CONFIG_HOME, else below ~/.config.
    """
    root = environment.get("XDG_CONFIG_HOME")
    try:
        path = (Path(root) if root else Path.home() / ".config") / "farglide" / ADDRESSES
        return path if path.exists() else None
    except (OSError, RuntimeError):  # RuntimeError: nobody's home
        return None


def _home(what: str) -> Path:
    try:
        return Path.home()
    except RuntimeError:
        remedy = f"Set FARGLIDE_CACHE to a folder for {what}."
        raise InputError("the user's home", "unknown", "a folder", remedy) from None
