"""Files that a sortie names besides its winds, and the same sortie with them elsewhere."""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import NamedTuple

from farglide.radio.ends.end import End
from farglide.sortie.spec import Sortie


class NamedFile(NamedTuple):
    """One file that a flight file names: where it is, what it holds, and the key that names it."""

    path: str
    what: str
    key: str


def named_files(sortie: Sortie) -> Iterator[NamedFile]:
    """Yield the files that a sortie names besides its winds, in the order of the flight file."""
    for path in sortie.terrain.paths if sortie.terrain else ():
        yield NamedFile(path, "the ground", "[terrain] files")
    for path in sortie.places.paths:
        yield NamedFile(path, "places", "[places] files")
    for end in (end for link in sortie.links for end in (link.sender_end, link.receiver_end)):
        for path in end.pattern_paths:
            yield NamedFile(path, "an antenna", "[[links]] pattern_file")
    for one in sortie.places.barriers:
        yield NamedFile(one.path, "a barrier", "[[barriers]] file")


def with_files(sortie: Sortie, places: Mapping[str, str]) -> Sortie:
    """Return a sortie whose files are where `places` says; those it does not name stay."""

    def moved(paths: tuple[str, ...]) -> tuple[str, ...]:
        return tuple(places.get(path, path) for path in paths)

    def end_moved(end: End) -> End:
        return replace(end, pattern_paths=moved(end.pattern_paths))

    links = tuple(
        replace(
            link,
            sender_end=end_moved(link.sender_end),
            receiver_end=end_moved(link.receiver_end),
        )
        for link in sortie.links
    )
    barriers = tuple(
        replace(one, path=places.get(one.path, one.path)) for one in sortie.places.barriers
    )
    terrain = sortie.terrain
    return replace(
        sortie,
        links=links,
        terrain=terrain and replace(terrain, paths=moved(terrain.paths)),
        places=replace(sortie.places, paths=moved(sortie.places.paths), barriers=barriers),
    )
