"""Places: fields, barriers and landmarks of one area, as files hold and take them."""

from dataclasses import dataclass

from farglide.atlas.barriers import Barrier, Landmark
from farglide.atlas.fields import Field


@dataclass(frozen=True, slots=True, kw_only=True)
class Places:
    """What is known of an area; `notes`: what a reader had to leave out or to take for granted."""

    fields: tuple[Field, ...] = ()
    barriers: tuple[Barrier, ...] = ()
    landmarks: tuple[Landmark, ...] = ()
    notes: tuple[str, ...] = ()

    def __add__(self, other: "Places") -> "Places":
        return Places(
            fields=self.fields + other.fields,
            barriers=self.barriers + other.barriers,
            landmarks=self.landmarks + other.landmarks,
            notes=self.notes + other.notes,
        )
