"""Places of a file: GeoJSON, KML or GPX turned into fields, barriers and landmarks.

Which property says what (KML: extended data; GPX: `type` is the kind, the rest are extensions):
`name`; `kind`, one of "field", a kind of barrier or a kind of landmark; for a field the keys of the
flight file: `amsl_m`, `role`, `surface`, `length_m`, `direction_deg`, `obstacles`, `owner`,
`last_light`, and `lat_deg`, `lon_deg` of the point to land at where an outline is drawn; for a
barrier `note`. Without a kind a point is a field, an area a barrier of the kind "no landing", a
line a road; in KML the name of the folder counts where it is a kind.
"""

import difflib
import math
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Final

import numpy as np

from farglide.atlas.barriers import BARRIER_KINDS, LANDMARK_KINDS, Barrier, Landmark, Places
from farglide.atlas.fields import Field
from farglide.atlas.outline import LatLon, Outline, contains, middle_of
from farglide.earth.geodesy import geodesic
from farglide.earth.state import Place
from farglide.errors import ContradictionError, InputError
from farglide.sources.files import refused
from farglide.sources.places.opening import shapes_of
from farglide.sources.places.shapes import Shape

FAR_M: Final = 500_000.0
FIELD: Final = "field"
KINDS: Final = (FIELD, *BARRIER_KINDS, *LANDMARK_KINDS)
_FORM_KINDS: Final = {"point": FIELD, "area": "no landing", "line": "road"}
_SWAPPED: Final = "Longitude and latitude are swapped: GeoJSON and KML write the longitude first."
_ELSEWHERE: Final = "Is it the file of another area?"
_LONGEST_TEXT: Final = 200

Ground = Callable[[float, float], float]
"""The height of the ground above mean sea level at a latitude and longitude."""


def read_places(paths: Sequence[Path], near: Place, ground_amsl_m: Ground) -> Places:
    """Return the fields, barriers and landmarks of one or more files.

    `near`: places farther than 500 km from it are refused; `ground_amsl_m` gives the height of a
    field whose file states none. Barriers of one name, as the parts of one have, are numbered.
    """
    places, names = Places(), set[str]()
    for path in paths:
        shapes = shapes_of(path)
        if not shapes:
            raise refused(path, "holds no place: no point, line or area.", "Is it the right file?")
        reading = _Reading(str(path), near, ground_amsl_m, names)
        for shape in shapes:
            places += reading.places(shape)
    return places


class _Reading:
    """The shapes of one file on their way to places; `names`: of barriers met in all files."""

    def __init__(self, path: str, near: Place, ground: Ground, names: set[str]) -> None:
        self.path, self.near, self.ground, self.names = path, near, ground, names

    def places(self, shape: Shape) -> Places:
        """Return the one place of a shape, with a note on what it had to leave out."""
        for lon_deg, lat_deg, _ in shape.corners:
            self._check_corner(shape, lat_deg, lon_deg)
        kind = self._kind(shape)
        try:
            if kind == FIELD:
                return Places(fields=(self._field(shape),))
            if kind in BARRIER_KINDS:
                return self._barrier(shape, kind)
            name = self._text(shape, "name")
            return Places(landmarks=(Landmark(name=name, kind=kind, points=_points(shape)),))
        except (InputError, ContradictionError) as error:
            raise refused(self.path, str(error), where=shape.where) from error

    def _check_corner(self, shape: Shape, lat_deg: float, lon_deg: float) -> None:
        """Refuse what is no place or far from the flight; ask whether the two are swapped."""
        what, allowed = f"has a corner at latitude {lat_deg:g}, longitude {lon_deg:g}", ""
        if not (abs(lat_deg) <= 90.0 and abs(lon_deg) <= 360.0):
            allowed = "latitudes -90 to 90, longitudes -180 to 180"
        elif not self._is_near(lat_deg, lon_deg):
            allowed = f"up to {FAR_M / 1000.0:.0f} km from the launch"
        if allowed:
            remedy = _SWAPPED if self._is_near(lon_deg, lat_deg) else _ELSEWHERE
            raise refused(self.path, f"{what}; allowed: {allowed}.", remedy, where=shape.where)

    def _is_near(self, lat_deg: float, lon_deg: float) -> bool:
        if not (abs(lat_deg) <= 90.0 and abs(lon_deg) <= 180.0):
            return False
        place = Place(lat_deg=lat_deg, lon_deg=lon_deg, amsl_m=0.0)
        return geodesic(self.near, place).distance_m <= FAR_M

    def _kind(self, shape: Shape) -> str:
        stated = self._text(shape, "kind")
        words = " ".join(stated.lower().replace("_", " ").replace("-", " ").split())
        if not words:
            folder = self._text(shape, "folder").lower()
            words = folder if folder in KINDS else _FORM_KINDS[shape.form]
        if words not in KINDS:
            near = difflib.get_close_matches(words, KINDS, n=1)
            remedy = f"Did you mean {near[0]!r}?" if near else ""
            listed = ", ".join(KINDS)
            what = f"is of the kind {stated!r}; allowed: {listed}."
            raise refused(self.path, what, remedy, where=shape.where)
        form = "an area" if words in BARRIER_KINDS else "a point or an area"
        fits = shape.form == "area" or (words not in BARRIER_KINDS and shape.form == "point")
        if words in LANDMARK_KINDS:
            form = "a point or an area" if words == "house" else "a line"
            fits = (shape.form == "point") == (words == "house") or shape.form == "area"
        if not fits:
            what = f"is a {shape.form}, but a {words} is {form}."
            raise refused(self.path, what, "Draw it so, or give another kind.", where=shape.where)
        return words

    def _field(self, shape: Shape) -> Field:
        outline = None
        if shape.form == "area":
            if shape.n_holes:
                what = f"is a field with {shape.n_holes} holes; allowed: none."
                remedy = "Draw the part that can be landed on."
                raise refused(self.path, what, remedy, where=shape.where)
            outline = Outline(points=_points(shape))
        lat_deg, lon_deg = self._point(shape, outline)
        stated = self._number(shape, "amsl_m")
        amsl_m = shape.corners[0][2] if stated is None else stated
        return Field(
            name=self._text(shape, "name"),
            lat_deg=lat_deg,
            lon_deg=lon_deg,
            amsl_m=self.ground(lat_deg, lon_deg) if amsl_m is None else amsl_m,
            role=self._text(shape, "role"),
            surface=self._text(shape, "surface"),
            outline=outline,
            length_m=self._number(shape, "length_m"),
            direction_deg=self._number(shape, "direction_deg"),
            obstacles=self._text(shape, "obstacles"),
            owner=self._text(shape, "owner"),
            last_light=self._text(shape, "last_light"),
        )

    def _point(self, shape: Shape, outline: Outline | None) -> LatLon:
        """Return where in a field one lands: as stated, or its middle."""
        if outline is None:
            return shape.corners[0][1], shape.corners[0][0]
        lat_deg, lon_deg = self._number(shape, "lat_deg"), self._number(shape, "lon_deg")
        if lat_deg is not None and lon_deg is not None:
            return lat_deg, lon_deg
        middle = middle_of(outline)
        if not contains(outline, np.array([middle[0]]), np.array([middle[1]]))[0]:
            remedy = "Give the point to land at as lat_deg and lon_deg."
            what = "is a field so bent that its middle lies outside."
            raise refused(self.path, what, remedy, where=shape.where)
        return middle

    def _barrier(self, shape: Shape, kind: str) -> Places:
        """Return a barrier under a name not yet taken: the parts of one are numbered."""
        stated = self._text(shape, "name") or kind
        name, n = stated, 1
        while name.casefold() in self.names:
            n += 1
            name = f"{stated} {n}"
        self.names.add(name.casefold())
        barrier = Barrier(
            name=name,
            kind=kind,
            outline=Outline(points=_points(shape)),
            note=self._text(shape, "note"),
        )
        notes: tuple[str, ...] = ()
        if shape.n_holes:
            notes = (f"{name}: clearings inside count as part of it ({shape.n_holes}).",)
        return Places(barriers=(barrier,), notes=notes)

    def _text(self, shape: Shape, key: str) -> str:
        value = shape.says.get(key)
        if value is None or isinstance(value, dict | list | bool):
            return ""
        try:
            text = " ".join(str(value)[:10_000].split())
        except ValueError:  # a whole number of more digits than Python turns into text
            return ""
        if not text.isprintable():
            raise refused(self.path, f"has unprintable characters in {key}.", where=shape.where)
        if len(text) > _LONGEST_TEXT:
            if key in ("note", "folder"):
                return text[: _LONGEST_TEXT - 1] + "…"
            what = f"has {len(text)} characters in {key}; allowed: {_LONGEST_TEXT}."
            raise refused(self.path, what, where=shape.where)
        return text

    def _number(self, shape: Shape, key: str) -> float | None:
        value = shape.says.get(key)
        if value is None or value == "":
            return None
        try:
            number = math.nan if isinstance(value, bool) else float(value)  # type: ignore[arg-type]
        except (TypeError, ValueError, OverflowError):
            number = math.nan
        if not math.isfinite(number):
            what = f"has {key} = {self._text(shape, key)[:40]!r}, not a number."
            raise refused(self.path, what, "Write the bare number.", where=shape.where)
        return number


def _points(shape: Shape) -> tuple[LatLon, ...]:
    return tuple((lat_deg, lon_deg) for lon_deg, lat_deg, _ in shape.corners)
