"""Hull: the shortest outline round points."""

from collections.abc import Iterable

from farglide.present.draw.place import Point


def hull(points: Iterable[Point]) -> list[Point]:
    """Return the corners of the convex outline of points, in order; as they are below three.

    Source: the monotone chain, common practice, no source.

    >>> hull([Point(0, 0), Point(2, 0), Point(1, 0.5), Point(2, 2), Point(0, 2)])[0]
    Point(x=0, y=0)
    """
    ordered = sorted(set(points))
    if len(ordered) < 3:
        return ordered
    return [*_chain(ordered)[:-1], *_chain(ordered[::-1])[:-1]]


def _chain(ordered: list[Point]) -> list[Point]:
    """Return the side of the outline from the first point to the last."""
    side: list[Point] = []
    for at in ordered:
        while len(side) > 1 and _turn(side[-2], side[-1], at) <= 0.0:
            side.pop()
        side.append(at)
    return side


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x)
