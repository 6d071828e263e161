"""Right of the release chart: the clock over height, and the release window with its two ends."""

from collections.abc import Iterator

from farglide.outlook.outlook import Outlook
from farglide.present.draw.ladder.frame import ChartFrame
from farglide.present.draw.lookup import first_crossing
from farglide.present.draw.svg import drawn, level, polyline, rect, stroke, text
from farglide.sortie.words import km_text


@drawn
def times(frame: ChartFrame) -> Iterator[str]:
    """Return the clock at the right edge: when the balloon passes the ruled heights."""
    size, x, release = frame.look.figure_px, frame.end_x, frame.outlook.release
    busy_from, busy_to = 0.0, 0.0  # by the words of the window
    if release is not None:
        low, high = release.window.from_amsl_m / 1e3, release.window.to_amsl_m / 1e3
        middle = (frame.y(low) + frame.y(high)) / 2.0
        busy_from = middle - 2.4 * frame.look.window_px
        busy_to = middle + 1.5 * frame.look.window_px
    passages = _passages(frame.outlook)
    for km in range(0, int(frame.cap_km) + 1, 5):
        after_launch_s = first_crossing(passages, km * 1000.0) if km else 0.0
        y = frame.y(km)
        if after_launch_s is not None and not busy_from < y < busy_to:
            yield level(x + 2.0, x + 10.0, y, stroke(2))
            yield text(_figure_x(frame), y + 0.35 * size, frame.clock.local(after_launch_s), size)


def _passages(outlook: Outlook) -> list[tuple[float, float]]:
    """Return when which height is passed: as the fields' tables tell it, not by who is still whole.

    The middle of the balloons still whole lags behind near the burst: the quick ones burst first.
    """
    told = outlook.fields[0].steps if outlook.fields else outlook.ascent.track
    return [(one.after_launch_s, one.amsl_m) for one in told]


def _figure_x(frame: ChartFrame) -> float:
    return frame.look.width_px - 2.6 * frame.look.window_px


@drawn
def window(frame: ChartFrame) -> Iterator[str]:
    """Return the release window: a frame round its field, a bracket with heights or times."""
    release = frame.outlook.release
    if release is None:
        return
    low = frame.y(release.window.from_amsl_m / 1000.0)
    high = frame.y(release.window.to_amsl_m / 1000.0)
    # a window of a few hundred metres still gets a frame that can be seen
    low, high = max(low, (low + high) / 2.0 + 5.0), min(high, (low + high) / 2.0 - 5.0)
    for column in frame.columns:
        if column.field.name == release.field:
            box = (column.x - 5.0, high, column.width + 10.0, low - high)
            yield rect(*box, stroke(9, "paper"))
            yield rect(*box, f'{stroke(5)} data-frame="window"')
    x = frame.end_x + 4.0
    yield polyline([(x, high), (x + 11.0, high), (x + 11.0, low), (x, low)], stroke(4))
    size, small_px = frame.look.window_px, frame.look.small_px
    middle, end = (low + high) / 2.0, 'text-anchor="end" font-weight="600"'
    last_y, start_y = middle - 0.15 * size, middle + 0.9 * size
    title = "release, km" if release.by_height else "release"
    yield text(frame.look.width_px, last_y - size, title, small_px, end)
    for y, word, figure in zip((last_y, start_y), ("by", "from"), _figures(frame), strict=True):
        yield text(_figure_x(frame) - 4.0, y, word, small_px, f'{end} class="narrow"')
        yield text(_figure_x(frame), y, figure, size, 'font-weight="700"')


def _figures(frame: ChartFrame) -> tuple[str, ...]:
    """Return by when and from when to release: kilometres, or the clock where no height is seen."""
    release = frame.outlook.release
    if release is None:
        return ()
    if release.by_height:
        return km_text(release.release_by_amsl_m), km_text(release.window.from_amsl_m)
    ends_s = release.release_by_after_launch_s, release.window.from_after_launch_s
    return tuple(map(frame.clock.local, ends_s))
