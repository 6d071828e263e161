"""Right of the release chart: the clock over height, and the release window with its two ends."""

from collections.abc import Iterator
from typing import Final

from farglide.outlook.outlook import Outlook
from farglide.outlook.release import ReleaseOutlook
from farglide.present.draw import svg
from farglide.present.draw.faces import BOLD, sheet_width_px
from farglide.present.draw.ladder.frame import HATCH, ChartFrame, FieldColumn
from farglide.present.draw.lookup import first_crossing
from farglide.present.say.sentences import rising
from farglide.sortie.words import km_text

LEAST_PX: Final = 12.0
"""A window of a few hundred metres still gets a frame that can be seen."""
_FRAME_PX: Final = 5.0
_END: Final = 'text-anchor="end" font-weight="600"'
_OUT_PX: Final = 3.5  # from the cell to the middle of its frame


@svg.drawn
def times(frame: ChartFrame) -> Iterator[str]:
    """Return the clock at the right edge: when the balloon passes the ruled heights."""
    size, x, release = frame.look.figure_px, frame.end_x, frame.outlook.release
    busy_from, busy_to = 0.0, 0.0  # by the words of the window
    if release is not None:
        middle = sum(_ends_y(frame, release)) / 2.0
        busy_from = middle - 2.6 * frame.look.window_px
        busy_to = middle + 1.9 * frame.look.window_px
    passages = _passages(frame.outlook)
    for km in range(0, int(frame.cap_km) + 1, 5):
        after_launch_s = first_crossing(passages, km * 1000.0) if km else 0.0
        y = frame.y(km)
        if after_launch_s is not None and not busy_from < y < busy_to:
            yield svg.level(x + 2.0, x + 10.0, y, svg.stroke(2))
            words = frame.clock.local(after_launch_s)
            yield svg.text(frame.look.width_px, y + 0.36 * size, words, size, _END)


def _passages(outlook: Outlook) -> list[tuple[float, float]]:
    """Return when which height is passed: as the fields' tables tell it, not by who is still whole.

    The middle of the balloons still whole lags behind near the burst: the quick ones burst first.
    """
    told = outlook.fields[0].steps if outlook.fields else outlook.ascent.track
    return [(one.after_launch_s, one.amsl_m) for one in told]


def _ends_y(frame: ChartFrame, release: ReleaseOutlook) -> tuple[float, float]:
    """Return where the window begins and ends, so far apart that it can be seen."""
    low = frame.y(release.window.from_amsl_m / 1000.0)
    high = frame.y(release.window.to_amsl_m / 1000.0)
    middle = (low + high) / 2.0
    return max(low, middle + LEAST_PX / 2.0), min(high, middle - LEAST_PX / 2.0)


def framed_km(frame: ChartFrame, column: FieldColumn) -> tuple[float, float]:
    """Return the heights inside the frame of the window; none where it frames another column."""
    release = frame.outlook.release
    if release is None or column.field.name != release.field:
        return (1.0, 0.0)
    low, high = _ends_y(frame, release)
    return frame.height_km(low), frame.height_km(high)


@svg.drawn
def window(frame: ChartFrame) -> Iterator[str]:
    """Return the release window: a frame round its field, a bracket with heights or times."""
    release = frame.outlook.release
    if release is None:
        return
    low, high = _ends_y(frame, release)
    for column in frame.columns:
        if column.field.name == release.field:
            yield _cell(frame, column, release)
            box = svg.Box(
                column.x - _OUT_PX, high - _OUT_PX, column.width + 2.0 * _OUT_PX,
                low - high + 2.0 * _OUT_PX,
            )  # fmt: skip
            yield svg.rect(*box, svg.stroke(_FRAME_PX + 4.0, "paper"))
            yield svg.rect(*box, f'{svg.stroke(_FRAME_PX)} data-frame="window"')
    x = frame.end_x + 2.0
    yield svg.polyline([(x, high), (x + 7.0, high), (x + 7.0, low), (x, low)], svg.stroke(4))
    yield from _words(frame, release, (low + high) / 2.0)


@svg.drawn
def _cell(frame: ChartFrame, column: FieldColumn, release: ReleaseOutlook) -> Iterator[str]:
    """Return the cell in the frame: the states of the window alone, over its whole height."""
    low, high = _ends_y(frame, release)
    from_m, to_m = release.window.from_amsl_m, release.window.to_amsl_m
    px_per_m = (low - high) / max(to_m - from_m, 1.0)
    yield '<g data-frame="cell">'
    yield svg.rect(column.x, high, column.width, low - high, 'class="f-paper"')
    for band in rising(column.field):
        lower, upper = max(band.from_amsl_m, from_m), min(band.to_amsl_m, to_m)
        if upper > lower:
            y = high + (to_m - upper) * px_per_m
            box = svg.Box(column.x, y, column.width, (upper - lower) * px_per_m)
            yield svg.state_rect(band.state, box, HATCH)
    yield "</g>"


def _words(frame: ChartFrame, release: ReleaseOutlook, middle: float) -> Iterator[str]:
    """Yield by when and from when to release, beside the bracket."""
    size, small_px = frame.look.window_px, frame.look.small_px
    right, narrow = frame.look.width_px, f'{_END} class="narrow"'
    last_y, start_y = middle - 0.15 * size, middle + 0.95 * size
    title = "release, km" if release.by_height else "release"
    yield svg.text(right, last_y - size, title, small_px, narrow)
    figures = _figures(frame, release)
    word_x = right - 4.0 - max(sheet_width_px(one, size, BOLD) for one in figures)
    for y, word, figure in zip((last_y, start_y), ("by", "from"), figures, strict=True):
        yield svg.text(word_x, y, word, small_px, narrow)
        yield svg.text(right, y, figure, size, 'text-anchor="end" font-weight="700"')


def _figures(frame: ChartFrame, release: ReleaseOutlook) -> tuple[str, str]:
    """Return by when and from when to release: kilometres, or the clock where no height is seen."""
    if release.by_height:
        return km_text(release.release_by_amsl_m), km_text(release.window.from_amsl_m)
    clock = frame.clock
    by_s, from_s = release.release_by_after_launch_s, release.window.from_after_launch_s
    return clock.local(by_s), clock.local(from_s)
