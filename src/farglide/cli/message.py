"""Message: what is said to a line that was typed, and how long it stands at the screen's foot."""

from threading import Lock
from typing import Final, NamedTuple

from farglide.live.entering import Tone

TAKEN_S: Final = 20.0
REFUSED_S: Final = 60.0
_READ_S: Final = 2.0
_WORDS_EACH_S: Final = 4.0
"""So fast a message is read, after the eye has come to it; common practice, no source."""


class _Said(NamedTuple):
    """Words, what they are to who reads them, and the line that stood half typed then."""

    words: str
    tone: Tone
    half: str | None = None  # None: it was not shown yet
    shown_s: float = 0.0
    is_typed_on: bool = False


class Message:
    """One message at a time: by the wall's clock, however fast the flight's goes.

    What was taken goes after a while; what was refused at the next key, or after a longer while; a
    question stays until it is answered. Nothing goes before it could be read. One thread may say
    what another shows.
    """

    def __init__(self, words: str = "") -> None:
        self._said, self._lock = _Said(words, Tone.REFUSED), Lock()

    @property
    def words(self) -> str:
        """Return what was said last, shown still or not."""
        return self._said.words

    def say(self, words: str, tone: Tone) -> None:
        """Say something in place of what was said before."""
        with self._lock:
            self._said = _Said(words, tone)

    def press(self) -> None:
        """Note that a line was ended: a key that leaves nothing half typed."""
        with self._lock:
            self._said = self._said._replace(is_typed_on=True)

    def shown(self, half: str, now_s: float) -> str:
        """Return what is shown now, nothing once it has gone; `half`: a line not ended yet."""
        with self._lock:
            self._said = _seen(self._said, half, now_s)
            return self._said.words


def _seen(said: _Said, half: str, now_s: float) -> _Said:
    """Return a message once it is shown again, nothing in its place once it is over."""
    if said.half is None:
        said = said._replace(half=half, shown_s=now_s, is_typed_on=False)
    else:
        said = said._replace(half=half, is_typed_on=said.is_typed_on or half != said.half)
    return _Said("", Tone.TAKEN) if _is_over(said, now_s - said.shown_s) else said


def _is_over(said: _Said, seen_s: float) -> bool:
    if said.tone is Tone.ASKED or seen_s < _READ_S + len(said.words.split()) / _WORDS_EACH_S:
        return False
    if said.tone is Tone.TAKEN:
        return seen_s >= TAKEN_S
    return said.is_typed_on or seen_s >= REFUSED_S
