"""farglide plan and demo: from files to the outlook, the brief and the document."""

from dataclasses import replace
from pathlib import Path
from typing import Final

from farglide.cli.answers import document_text
from farglide.cli.inputs import Wanted, edited_lines, flight_and_pack
from farglide.cli.outfiles import check_out, write_texts
from farglide.cli.warm import Ready
from farglide.compute import on_threads
from farglide.errors import InputError
from farglide.flightfile.flightfile import FlightFile
from farglide.outlook.outlook import Outlook
from farglide.outlook.payload import PayloadOutlook
from farglide.plan.decided import Decided
from farglide.plan.payload import plan_payload
from farglide.plan.plan import completed, decided_file
from farglide.plan.planned import Progress
from farglide.plan.suspicions import launch_away
from farglide.present.draw.maps.landing_layer import landing_geojson
from farglide.present.draw.maps.launch_layer import launch_geojson
from farglide.report.box import render_box
from farglide.report.brief import render_brief
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack

DEMO: Final = Path(__file__).parents[1] / "flightfile" / "assets" / "amber-evening.toml"


def make_plan(
    wanted: Wanted, grain: Grain, progress: Progress, ready: Ready = lambda: None
) -> Outlook | PayloadOutlook:
    """Return the outlook that a command line asks for, and write the brief and the document.

    `ready` is called when all is read and the kernels are needed.
    """
    return complete_plan(begin_plan(wanted, grain, progress, ready), wanted, progress)


def begin_plan(
    wanted: Wanted, grain: Grain, progress: Progress, ready: Ready = lambda: None
) -> Decided | PayloadOutlook:
    """Return the decision that a command line asks for, as soon as its numbers are known.

    Of a payload nothing is decided: its outlook is whole.
    """
    check_out(wanted.out)
    flight, pack = flight_and_pack(wanted)
    ready()
    if flight.sortie.payload is not None:
        return _payload(flight, pack, wanted, grain, progress)
    begun = decided_file(flight, pack, grain, on_threads(), progress)
    aloud = (*edited_lines(flight), *_away(flight, wanted))
    outlook = replace(begun.outlook, suspicions=(*aloud, *begun.outlook.suspicions))
    return replace(begun, outlook=outlook)


def complete_plan(
    begun: Decided | PayloadOutlook, wanted: Wanted, progress: Progress
) -> Outlook | PayloadOutlook:
    """Return the whole outlook of a plan that was begun, and write the brief and the document."""
    if isinstance(begun, PayloadOutlook):
        return begun
    outlook = completed(begun, progress)
    if wanted.out is not None:
        progress("writing the brief")
        texts = {"brief.html": render_brief(outlook), "plan.json": document_text(outlook) + "\n"}
        if outlook.launch is not None:
            texts["launch-area.geojson"] = launch_geojson(outlook.launch)
        write_texts(texts, wanted.out)
    return outlook


def _payload(
    flight: FlightFile, pack: Pack, wanted: Wanted, grain: Grain, progress: Progress
) -> PayloadOutlook:
    """Return the outlook of a payload, and write brief, document and where it may come down."""
    outlook = plan_payload(flight, pack, grain, on_threads(), progress)
    outlook = replace(outlook, suspicions=(*_away(flight, wanted), *outlook.suspicions))
    if wanted.out is not None:
        progress("writing the brief")
        texts = {"brief.html": render_box(outlook), "plan.json": document_text(outlook) + "\n"}
        write_texts(texts | {"landing.geojson": landing_geojson(outlook)}, wanted.out)
    return outlook


def _away(flight: FlightFile, wanted: Wanted) -> tuple[str, ...]:
    return tuple(launch_away(flight.sortie.launch, wanted.now_t_s)) if wanted.now_t_s else ()


def grain_asked(n_draws: int, seed: int) -> Grain:
    """Return how finely is asked, with refusals that name the options of the command line."""
    if not 0 <= seed < 2**63:
        raise InputError("--seed", seed, "0 to 2**63 - 1")
    try:
        return Grain(n_draws=n_draws, seed=seed)
    except InputError as error:
        raise InputError("--draws", n_draws, error.allowed, error.remedy) from None
