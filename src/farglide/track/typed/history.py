"""History: the entries that stand, in order; an undo leaves exactly what was there before."""

from dataclasses import dataclass

from farglide.errors import AnswerError, InputError
from farglide.track.typed.entries import Entry, Mark, MarkKind, Undo
from farglide.track.typed.undone import undo_words


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One entry that stands, and when it was typed, UTC."""

    t_s: float
    entry: Entry


@dataclass(frozen=True, slots=True, kw_only=True)
class History:
    """All entries that stand."""

    rows: tuple[Row, ...] = ()

    @property
    def marks(self) -> tuple[MarkKind, ...]:
        """Return the marks that stand, in their order."""
        return tuple(row.entry.kind for row in self.rows if isinstance(row.entry, Mark))

    def with_entry(self, entry: Entry, t_s: float) -> "History":
        """Return the history with one more entry, or without the one that it takes back.

        Raises InputError for a time before the last entry's, AnswerError where nothing is left to
        take back.
        """
        if isinstance(entry, Undo):
            return self._without(entry)
        if self.rows and not t_s >= self.rows[-1].t_s:
            allowed = f"{self.rows[-1].t_s:g} s, the last entry, or later"
            raise InputError("t_s of an entry", f"{t_s:g} s", allowed, "Look at the clock.")
        return History(rows=(*self.rows, Row(t_s=t_s, entry=entry)))

    def _without(self, undo: Undo) -> "History":
        for k in reversed(range(len(self.rows))):
            if undo.takes(self.rows[k].entry):
                return History(rows=(*self.rows[:k], *self.rows[k + 1 :]))
        raise AnswerError(f"Nothing to take back: no {undo_words(undo)} stands.")
