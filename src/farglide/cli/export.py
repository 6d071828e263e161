"""farglide export: the track of a log, or of another track file, in a format of choice."""

import os
import secrets
from collections.abc import Callable, Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from itertools import chain
from pathlib import Path
from typing import Final

from farglide.errors import InputError
from farglide.track.journal.fixes import log_fixes
from farglide.track.journal.reader import is_log, left_words, survey
from farglide.track.reports import Fix
from farglide.track.trackfiles.forms import Form, is_own, read_track, track_lines, unheld_words

_AT_ONCE: Final = 1000


@dataclass(frozen=True, slots=True, kw_only=True)
class Exported:
    """A track as it is written, and what is to be said of it."""

    form: Form
    fixes: tuple[Fix, ...]
    notes: tuple[str, ...]


def form_asked(name: str) -> Form:
    """Return a format by its name, with a refusal that names the option."""
    known = {str(form): form for form in Form}
    if name.lower() not in known:
        raise InputError("--as", repr(name), ", ".join(known))
    return known[name.lower()]


def exported(log: Path, form: Form, feed: str | None) -> Exported:
    """Return the track of a log or of a track file, of one feed or of all.

    Raises SourceError where it can be read as neither, InputError where the feed is not there, or
    the format holds one only and there are several.
    """
    fixes, notes = read_fixes(log)
    feeds = list(dict.fromkeys(fix.feed for fix in fixes))
    if feed is not None:
        _check_feed(feed, feeds)
        fixes = tuple(fix for fix in fixes if fix.feed == feed)
    elif form is Form.IGC and len(feeds) > 1:
        remedy = "An IGC file holds the track of one."
        raise InputError("--feed", "missing", f"one of {', '.join(map(repr, feeds))}", remedy)
    return Exported(form=form, fixes=fixes, notes=(*notes, *unheld_words(form, fixes)))


def read_fixes(log: Path) -> tuple[tuple[Fix, ...], tuple[str, ...]]:
    """Return the fixes of a log or of a track file, and what is to be said of them."""
    return (tuple(log_fixes(log)), log_notes(log)) if is_log(log) else _file_fixes(log)


def log_notes(log: Path) -> tuple[str, ...]:
    """Return what is to be said of the fixes of a log."""
    found = survey(log)
    notes = [left_words(found)] if found.n_left else []
    if not found.is_finished:
        notes.append("The log is unfinished: this is the track so far.")
    if found.n_lost:
        notes.append(f"{found.n_lost} records never reached the log: fixes may be missing.")
    return tuple(notes)


def write_export(export: Exported, out: Path) -> str:
    """Write a track into a file, whole or not at all; return what was written.

    Raises InputError where a file is there that is no export of this format, or none can be made.
    """
    _check_out(export.form, out)
    part = out.with_name(f".{out.name}.{secrets.token_hex(8)}.part")
    try:
        with part.open("xb") as file:
            file.writelines(text.encode() for text in pieces(export))
            file.flush()
            os.fsync(file.fileno())
        part.replace(out)
    except OSError as error:
        with suppress(OSError):
            part.unlink(missing_ok=True)
        raise _unwritable(out, error) from error
    n = len(export.fixes)
    told = "No fix: a header only" if n == 0 else "1 fix" if n == 1 else f"{n} fixes"
    return f"{told}, written to {out}"


def tell_export(export: Exported, tell: Callable[[str], None]) -> None:
    """Tell a track as the text of its file, some lines at once."""
    rest = ""
    for text in pieces(export):
        rest += text.replace("\r\n", "\n")
        if "\n" in rest:
            whole, _, rest = rest.rpartition("\n")
            tell(whole)
    if rest:
        tell(rest)


def pieces(export: Exported) -> Iterator[str]:
    """Yield the text of an export in parts of a thousand lines or so."""
    lines = track_lines(export.form, export.fixes)
    while part := "".join(_some(lines)):
        yield part


def _some(lines: Iterator[str]) -> Iterable[str]:
    first = next(lines, None)
    if first is None:
        return ()
    return chain([first], (line for _, line in zip(range(_AT_ONCE - 1), lines, strict=False)))


def _file_fixes(path: Path) -> tuple[tuple[Fix, ...], tuple[str, ...]]:
    track = read_track(path)
    plural = {1: "point"}
    return track.fixes, tuple(
        f"Left out {n} {plural.get(n, 'points')}: {why}." for why, n in track.left_out.items()
    )


def _check_feed(feed: str, feeds: list[str]) -> None:
    if feed not in feeds:
        allowed = f"one of {', '.join(map(repr, feeds))}" if feeds else "a feed with a fix"
        remedy = "" if feeds else "There is no fix in it."
        raise InputError("--feed", repr(feed), allowed, remedy)


def _check_out(form: Form, out: Path) -> None:
    try:
        is_strange = out.exists() and not (out.is_file() and is_own(form, out))
    except OSError as error:
        raise _unwritable(out, error) from error
    if is_strange:
        remedy = "It is left alone. Choose another name."
        allowed = f"a new file, or a track that was exported as {form}"
        raise InputError("--out", out, allowed, remedy)


def _unwritable(out: Path, error: OSError) -> InputError:
    remedy = f"It cannot be written: {error.strerror}. Choose another place."
    return InputError("--out", out, "a file that can be written", remedy)
