"""Right of the release chart: the clock over height, and the release window with its two times."""

from farglide.outlook.release import ReleaseOutlook
from farglide.present.draw.ladder.frame import ChartFrame, FieldColumn
from farglide.present.draw.lookup import passage_s
from farglide.present.draw.svg import level, polyline, rect, text


def times(frame: ChartFrame) -> str:
    """Return the clock at the right edge: when the balloon passes the ruled heights."""
    size, x, parts = frame.look.figure_px, frame.end_x + 12.0, []
    busy = _window_busy(frame)
    for h in range(0, int(frame.cap_km) + 1, 5):
        after_launch_s = 0.0 if h == 0 else passage_s(frame.outlook.ascent.track, h * 1000.0)
        y = frame.y(h)
        if after_launch_s is None or busy[0] < y < busy[1]:
            continue
        parts.append(level(frame.end_x + 2.0, x - 2.0, y, 'class="s-ink" stroke-width="2"'))
        words = frame.clock.local(after_launch_s)
        parts.append(text(_figure_x(frame), y + 0.35 * size, words, size))
    return "".join(parts)


def _figure_x(frame: ChartFrame) -> float:
    return frame.look.width_px - 2.6 * frame.look.window_px


def _window_busy(frame: ChartFrame) -> tuple[float, float]:
    if frame.outlook.release is None:
        return 0.0, 0.0
    window, size = frame.outlook.release.window, frame.look.window_px
    middle = (frame.y(window.from_amsl_m / 1e3) + frame.y(window.to_amsl_m / 1e3)) / 2.0
    return middle - 2.4 * size, middle + 1.5 * size


def window(frame: ChartFrame) -> str:
    """Return the release window: a frame round its field, a bracket with the two times."""
    release = frame.outlook.release
    if release is None:
        return ""
    low = frame.y(release.window.from_amsl_m / 1000.0)
    high = frame.y(release.window.to_amsl_m / 1000.0)
    # a window of a few hundred metres still gets a frame that can be seen
    low, high = max(low, (low + high) / 2.0 + 5.0), min(high, (low + high) / 2.0 - 5.0)
    parts = [_bordered(c, low, high) for c in frame.columns if c.field.name == release.field]
    rx = frame.end_x + 4.0
    bracket = [(rx, high), (rx + 11.0, high), (rx + 11.0, low), (rx, low)]
    parts.append(polyline(bracket, 'class="s-ink" stroke-width="4"'))
    return "".join(parts) + _window_words(frame, release, (low + high) / 2.0)


def _bordered(column: FieldColumn, low: float, high: float) -> str:
    x, width, height = column.x - 5.0, column.width + 10.0, low - high
    return rect(x, high, width, height, 'class="s-paper" stroke-width="9"') + rect(
        x, high, width, height, 'class="s-ink" stroke-width="5" data-frame="window"'
    )


def _window_words(frame: ChartFrame, release: ReleaseOutlook, middle: float) -> str:
    size, small, x = frame.look.window_px, frame.look.small_px, _figure_x(frame)
    start = frame.clock.local(release.window.from_after_launch_s)
    last = frame.clock.local(release.release_by_after_launch_s)
    side = 'text-anchor="end" font-weight="600" class="narrow"'
    y_last, y_start = middle - 0.15 * size, middle + 0.9 * size
    whole = frame.look.width_px
    parts = [text(whole, y_last - size, "release", small, 'text-anchor="end" font-weight="600"')]
    for y, word, moment in ((y_last, "by", last), (y_start, "from", start)):
        parts.append(text(x - 4.0, y, word, small, side))
        parts.append(text(x, y, moment, size, 'font-weight="700"'))
    return "".join(parts)
