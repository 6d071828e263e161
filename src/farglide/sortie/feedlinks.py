"""Feed links: by which link a feed of the glider comes, so that its silence says something."""

from farglide.sortie.spec import Sortie


def link_of(sortie: Sortie, feed: str) -> int | None:
    """Return by which link a feed of the glider comes: as stated, by its name, or the only one.

    Links for positions count alone where none is stated or has its name. None where that is not
    one.
    """
    stated = next((one.link for one in sortie.feeds if one.name == feed and one.link), feed)
    for k, one in enumerate(sortie.links):
        if one.name == stated:
            return k
    places = [k for k, one in enumerate(sortie.links) if one.purpose == "position"]
    return places[0] if len(places) == 1 else None
