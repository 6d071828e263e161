"""Fetch shown: every address that a fetch would ask, to bring the files by hand; asks none."""

from collections.abc import Iterator, Sequence

from farglide.cli.fetch import Choice, asked_for, sources_chosen
from farglide.earth.box import Box
from farglide.gather.fetch.batch import Batch, batch_of
from farglide.gather.fetch.fetching import Asked, size_words, sources_for
from farglide.gather.fetch.runs import candidate_runs, run_text, whole_by
from farglide.gather.fetch.source import Gives, Kind, Source
from farglide.gather.fetch.tiles import tiles_of
from farglide.gather.fetch.wanted import Wanted, top_words
from farglide.rig.area import needed_area
from farglide.sortie.spec import Sortie


def shown_text(sortie: Sortie, file: str, choice: Choice, now_t_s: float) -> str:
    """Return which addresses a fetch would ask for a flight, with sizes, and what to do by hand."""
    sources = sources_chosen(choice)
    winds = asked_for(sortie, choice, Gives.WINDS)
    first, *others = sources_for(sources, winds)
    lines = [*_wanted_lines(winds.wanted), "", *_source_lines(first, winds, now_t_s)]
    for source in others:
        lines += ["", "If that fails:", *_source_lines(source, winds, now_t_s)]
    if choice.members:
        members = asked_for(sortie, choice, Gives.MEMBERS)
        for source in sources_for(sources, members):
            lines += ["", *_source_lines(source, members, now_t_s)]
    lines += _others_lines(sources, needed_area(sortie))
    return "\n".join([*lines, "", *_by_hand(file)])


def _wanted_lines(wanted: Wanted) -> Iterator[str]:
    box = wanted.box
    yield "Nothing was fetched. These would be asked, one at a time:"
    yield (
        f"  area: {box.south_deg:.2f} to {box.north_deg:.2f} N, {box.west_deg:.2f} to "
        f"{box.east_deg:.2f} E, the drift of {wanted.drift_m / 1000.0:.0f} km to all sides in it"
    )
    yield f"  levels: up to {top_words(wanted.top_hpa)}, and one above"


def _source_lines(source: Source, asked: Asked, now_t_s: float) -> Iterator[str]:
    runs = candidate_runs(source, now_t_s, asked.wanted.stretches)
    run_t_s = next((one for one in runs if whole_by(source, one, now_t_s)), runs[-1])
    batch = batch_of(source, asked.wanted, run_t_s, asked.root, asked.n_members)
    yield f"{source.product}: run of {run_text(run_t_s)}, {len(batch.parts)} files, about " + (
        size_words(batch.about_bytes)
    )
    yield f"  {source.producer}; {source.licence}"
    yield from _address_lines(batch)


def _address_lines(batch: Batch) -> Iterator[str]:
    for part in batch.parts:
        if part.indices:
            yield f"  {part.indices[0]}"
        for address in part.addresses:
            yield f"  {address}"
    if batch.parts[0].indices:
        n_fields = len(batch.parts[0].pairs)
        yield f"  of each file only the bytes of {n_fields} fields, which its index names;"
        yield "  of several addresses of one file the first that answers"


def _others_lines(sources: Sequence[Source], box: Box) -> Iterator[str]:
    """Yield what is not fetched by this command, with its addresses."""
    for source in sources:
        if source.kind is Kind.TILES:
            yield from ("", f"{source.product}: with --terrain")
            yield f"  {source.producer}; {source.licence}"
            yield from (f"  {one.addresses[0]}" for one in tiles_of(source, box))
        elif source.kind is Kind.CLIENT:
            yield from ("", f"{source.product}: not fetched; with the package {source.package}:")
            yield f"  {source.producer}; {source.licence}"
            yield f"  {source.addresses[0]}"


def _by_hand(file: str) -> Iterator[str]:
    yield "By hand: open each address of the first list, on any computer, and save what comes as a"
    yield "file. Put them into one: cat f*.grib2 > winds.grib2 (on Windows: copy /b f*.grib2"
    yield f"winds.grib2). Then: farglide gather {file} --winds winds.grib2 --pack DIR"
