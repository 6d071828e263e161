"""Teller: advice in lines, where there is no terminal to draw on."""

from typing import Final

from farglide.cli.speaker import Speaker
from farglide.cli.terminal import tell
from farglide.outlook.advice import Advice, Level
from farglide.present.say.rideview import plain_line
from farglide.present.say.text import FlightClock

TOLD_S: Final = 30.0
"""An advice is told at each change, and so often at least."""

TYPING_S: Final = 15.0
"""So long after the last key somebody is taken to type on; common practice, no source."""


class Teller:
    """Tells advice in lines, where there is no terminal to draw on, and aloud where asked."""

    def __init__(self, speaker: Speaker | None = None) -> None:
        self.is_quiet = True
        self.zone, self.launch_t_s = "UTC", 0.0
        self.speaker = speaker
        self._half, self._is_typing = ("", 0.0), False
        self._last: tuple[Level, str, float] | None = None

    def hold(self, half: str, at_s: float) -> None:
        """Hold back what is not urgent while somebody types; `half`: a line not ended, now.

        A line left as it stands holds nothing back for long. `at_s`: monotonic.
        """
        if half != self._half[0]:
            self._half = (half, at_s)
        self._is_typing = bool(half) and at_s - self._half[1] < TYPING_S

    def __call__(self, advice: Advice) -> None:
        """Tell an advice that is otherwise than the last one, or half a minute later."""
        clock = FlightClock(launch_t_s=self.launch_t_s, zone=self.zone)
        if self.speaker is not None:
            self.speaker(advice, clock, self._is_typing)
        if self.is_quiet or not self._is_due(advice):
            return
        self._last = (advice.level, advice.changed, advice.after_launch_s)
        tell(plain_line(advice, clock))

    def close(self) -> None:
        """Let go what is spoken to."""
        if self.speaker is not None:
            self.speaker.close()

    def _is_due(self, advice: Advice) -> bool:
        if self._last is None:
            return True
        level, changed, at_s = self._last
        is_same = (advice.level, advice.changed) == (level, changed)
        return not is_same or advice.after_launch_s - at_s >= TOLD_S
