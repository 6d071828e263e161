"""The farglide command: each face is imported only inside its own subcommand."""

import gc
import os
import sys
from pathlib import Path
from typing import Annotated, Final

import typer

from farglide.cli import afterwards, day, today
from farglide.cli.terminal import columns, complain, open_streams, tell, tell_document
from farglide.errors import FarglideError

app = typer.Typer(
    name="farglide",
    help="Can we bring it home, from where, until when?",
    no_args_is_help=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    add_completion=False,
)

_GARBAGE: Final = 50_000
"""One question and its answer leave little garbage: to look for it rarely saves 0.1 s of a plan."""
_ONE_THREAD: Final = ("OPENBLAS_NUM_THREADS", "1")
"""No sum of a plan is large enough to share out, and threads that wait for one cost 0.04 s."""


@app.callback()
def _farglide() -> None:
    """Plan the flight of a small glider dropped from a sounding balloon."""


@app.command()
def new(
    file: Annotated[Path, typer.Argument(help="The file to write.")] = Path("flight.toml"),
    ask: Annotated[bool, typer.Option("--ask", help="Ask a few questions instead.")] = False,
) -> None:
    """Write a flight file to fill in, with every key explained, or one made of your answers."""
    from farglide.cli.ask import ask_into, at_a_terminal
    from farglide.cli.new import write_template

    tell(ask_into(file, at_a_terminal()) if ask else write_template(file))


@app.command()
def check(
    file: Annotated[Path, typer.Argument(help="The flight file, the folder of a pack, or a log.")],
) -> None:
    """Say what a flight file means, what in it is a guess, or all that is wrong with it.

    Of a pack: whether every part is as it was gathered. Of a log: what it holds, and how it ends.
    """
    from farglide.cli.check import checked_text

    tell(checked_text(file, today.now_t_s()))


Winds = Annotated[
    Path | None, typer.Option(help="A file of winds, in place of the flight file's own.")
]


@app.command()
def plan(
    file: Annotated[Path | None, typer.Argument(help="The flight file.")] = None,
    winds: Winds = None,
    pack: Annotated[Path | None, typer.Option(help="Plan from a gathered pack alone.")] = None,
    draws: Annotated[int, typer.Option(help="How many flights are drawn.")] = 1000,
    seed: Annotated[int, typer.Option(help="The same seed gives the same answer.")] = 1,
    out: Annotated[Path | None, typer.Option(help="Write brief.html and plan.json here.")] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Print one JSON document.")] = False,
    full: Annotated[bool, typer.Option("--full", help="Print all of it, not one screen.")] = False,
) -> None:  # fmt: skip
    """Say when to release, for which field, with what chance, and why."""
    from farglide.cli.told import BRIEF, PLAN, Told
    from farglide.cli.warm import warming

    told = Told(as_json, PLAN if out is None else (*PLAN, BRIEF))
    with warming(told) as ready:  # before the imports, which it compiles beside
        from farglide.cli import answers
        from farglide.cli import plan as face
        from farglide.cli.inputs import Wanted

        now_t_s = None if file == face.DEMO else today.now_t_s()  # the invented flight has no year
        wanted = Wanted(file=file, winds=winds, pack=pack, out=out, now_t_s=now_t_s)
        begun = face.begin_plan(wanted, face.grain_asked(draws, seed), told, ready)
        width = columns()
        if not as_json:
            told.clear()
            tell(answers.begun_text(begun, width, full))
        outlook = face.complete_plan(begun, wanted, told)
    told.finish()
    if as_json:
        tell_document(answers.document_text(outlook))
        return
    if rest := answers.rest_text(outlook, width, full):
        tell(rest)
    if out is not None:
        tell(f"\n{answers.written_words(out)}")


@app.command()
def gather(
    file: Annotated[Path, typer.Argument(help="The flight file.")],
    pack: Annotated[Path | None, typer.Option(help="The folder to gather into.")] = None,
    winds: Winds = None,
    days: Annotated[int, typer.Option(help="Fetch the daylight of so many days.")] = 1,
    members: Annotated[
        int, typer.Option(help="Fetch so many members of an ensemble too, up to 31.")
    ] = 0,
    grid_deg: Annotated[
        float, typer.Option(help="How fine: 0.25; 0.5 and 1 fetch whole fields, smaller ones.")
    ] = 0.25,
    addresses: Annotated[
        Path | None, typer.Option(help="A file of addresses that changes ours.")
    ] = None,
    fetched: Annotated[
        Path | None, typer.Option(help="Keep fetched files here, not in your cache.")
    ] = None,
    terrain: Annotated[
        bool, typer.Option("--terrain", help="Fetch the ground of the area too, for [terrain].")
    ] = False,
    show: Annotated[
        bool, typer.Option("--show", help="Print every address to ask, and fetch nothing.")
    ] = False,
) -> None:
    """Read a flight's files once into a pack that opens with no other file.

    Winds that nothing names are fetched: the newest forecast for the flight's place and time.
    """
    from farglide.cli.fetch import Choice
    from farglide.cli.gather import gather_into

    choice = Choice(
        days=days, members=members, grid_deg=grid_deg, addresses=addresses, fetched=fetched,
        terrain=terrain,
    )  # fmt: skip
    if show:
        from farglide.cli.fetchshown import shown_text
        from farglide.flightfile.flightfile import read_flight_file

        sortie = read_flight_file(file).sortie
        tell(shown_text(sortie, str(file), choice, today.now_t_s()))
    else:
        tell(gather_into(file, winds, pack, choice))


@app.command()
def links(
    file: Annotated[Path | None, typer.Argument(help="The flight file.")] = None,
    winds: Winds = None,
    pack: Annotated[Path | None, typer.Option(help="Take a gathered pack alone.")] = None,
    out: Annotated[Path | None, typer.Option(help="Write the margin curves here.")] = None,
    less_db: Annotated[
        float | None, typer.Option(help="What if each link were this much weaker?")
    ] = None,
) -> None:
    """Say how strong each radio link is from each stand along the planned flight."""
    from farglide.cli.told import LINKS
    from farglide.cli.warm import working

    with working(LINKS) as ready:
        from farglide.cli.inputs import Wanted
        from farglide.cli.links import links_text

        wanted = Wanted(file=file, winds=winds, pack=pack, out=out)
        text = links_text(wanted, less_db, ready)
    tell(text)


@app.command()
def coverage(
    *,
    file: Annotated[Path | None, typer.Argument(help="The flight file.")] = None,
    pack: Annotated[Path | None, typer.Option(help="Take a gathered pack alone.")] = None,
    link: Annotated[str, typer.Option(help="Which of its links.")],
    stand: Annotated[str, typer.Option(help="At which of its stands.")],
    height_km: Annotated[
        float | None, typer.Option(help="How high the glider is, above sea level.")
    ] = None,
    above_ground_m: Annotated[
        float | None, typer.Option(help="Or how high above the ground.")
    ] = None,
    less_db: Annotated[float, typer.Option(help="Decibels to take off every margin.")] = 0.0,
    radius_km: Annotated[float, typer.Option(help="How far round the stand.")] = 60.0,
    out: Annotated[Path | None, typer.Option(help="Write picture and layer here.")] = None,
) -> None:
    """Say how far round a stand one link holds at one height, and what ends it."""
    from farglide.cli.coverage import coverage_asked, coverage_text, level_of
    from farglide.cli.told import COVERAGE, Told

    told = Told(False, COVERAGE)
    level = level_of(height_km, above_ground_m)
    asked = coverage_asked(level, link, stand, less_db, radius_km)
    text = coverage_text(asked, file, pack, out, told)
    told.finish()
    tell(text)


@app.command()
def fields(
    file: Annotated[Path | None, typer.Argument(help="The flight file.")] = None,
    winds: Winds = None,
    pack: Annotated[Path | None, typer.Option(help="Take a gathered pack alone.")] = None,
    out: Annotated[Path | None, typer.Option(help="Write a sketch and layers here.")] = None,
) -> None:
    """Say what is known of the fields, from which height to cross barriers, and where else."""
    from farglide.cli.told import FIELDS
    from farglide.cli.warm import working

    with working(FIELDS) as ready:
        from farglide.cli.fields import fields_text
        from farglide.cli.inputs import Wanted

        wanted = Wanted(file=file, winds=winds, pack=pack, out=out)
        text = fields_text(wanted, ready)
    tell(text)


@app.command()
def compare(
    *,
    file: Annotated[Path | None, typer.Argument(help="The flight file.")] = None,
    winds: Winds = None,
    pack: Annotated[Path | None, typer.Option(help="Take a gathered pack alone.")] = None,
    begin: Annotated[
        str | None, typer.Option("--from", help="First day, or moment with its zone.")
    ] = None,
    end: Annotated[str | None, typer.Option("--to", help="Last day, or moment.")] = None,
    every: Annotated[float, typer.Option(help="Minutes between launch times.")] = 120.0,
    neck: Annotated[
        list[float] | None, typer.Option(help="Neck lift in kg; may be given again.")
    ] = None,
    spacing_km: Annotated[float, typer.Option(help="Between even launch spots.")] = 25.0,
    within_km: Annotated[
        float, typer.Option(help="How far from home; 0: named spots alone.")
    ] = 80.0,
    walk_m: Annotated[float, typer.Option(help="Even spots: from a road at most.")] = 500.0,
    draws: Annotated[int, typer.Option(help="How many flights are drawn of each.")] = 200,
    seed: Annotated[int, typer.Option(help="Seed of the draws.")] = 1,
    processes: Annotated[
        int, typer.Option(help="Share out to so many processes; 0: stay in this one.")
    ] = 0,
    cluster: Annotated[
        str | None, typer.Option(help="Share out to the workers of a Dask scheduler.")
    ] = None,
    out: Annotated[Path | None, typer.Option(help="Write sheet, table and layer here.")] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Print one JSON document.")] = False,
) -> None:
    """Compare launch times, launch spots and fills, and say which is best and why."""
    from farglide.cli.told import COMPARE, Told
    from farglide.cli.warm import warming

    told = Told(as_json, (COMPARE,))
    with warming(told, COMPARE) as ready:
        from farglide.cli import compare as face
        from farglide.cli.answers import document_text
        from farglide.cli.inputs import Wanted
        from farglide.cli.plan import grain_asked
        from farglide.present.say.season import season_lines

        wanted = Wanted(file=file, winds=winds, pack=pack, out=out, now_t_s=today.now_t_s())
        typed = face.Typed(
            begin=begin,
            end=end,
            every_min=every,
            spacing_km=spacing_km,
            within_km=within_km,
            walk_m=walk_m,
            necks_kg=tuple(neck or ()),
            processes=processes,
            cluster=cluster,
        )
        found = face.compare(wanted, typed, grain_asked(draws, seed), told, ready)
    told.finish()
    if as_json:
        tell_document(document_text(found))
    else:
        tell("\n".join(season_lines(found)))
        if out is not None:
            tell(f"\nSheet: {out / 'compare.html'}")


@app.command()
def demo(
    out: Annotated[Path, typer.Option(help="Write brief.html and plan.json here.")] = Path(
        "demo-out"
    ),
) -> None:
    """Plan the invented flight "Amber evening"."""
    from farglide.cli.plan import DEMO

    plan(file=DEMO, out=out)
    tell(f"Then rehearse the day: farglide rehearse {DEMO} --surprise leak --speed 10")


packs = typer.Typer(help="Look into a gathered pack.", no_args_is_help=True, rich_markup_mode=None)


@packs.callback()
def _packs() -> None:
    """Look into a gathered pack."""


@packs.command()
def show(
    folder: Annotated[Path, typer.Argument(help="The folder of the pack.")],
    verify: Annotated[bool, typer.Option("--verify", help="Read and check every byte.")] = False,
    as_json: Annotated[bool, typer.Option("--json", help="Print one JSON document.")] = False,
) -> None:
    """Say what a pack holds, how old it is, what is missing, and when to fetch again."""
    from farglide.cli.answers import document_text
    from farglide.cli.packshow import pack_shown
    from farglide.present.say.packview import pack_lines

    found = pack_shown(folder, today.now_t_s(), verify=verify)
    if as_json:
        tell_document(document_text(found))
    else:
        tell("\n".join(pack_lines(found)))


app.add_typer(packs, name="pack")
app.add_typer(day.app)
app.add_typer(afterwards.app)


def run() -> None:
    """Run the command; what farglide raises on purpose becomes a message and exit code 2."""
    gc.set_threshold(_GARBAGE)
    os.environ.setdefault(*_ONE_THREAD)
    try:
        open_streams()
        app()
    except FarglideError as error:
        complain(str(error))
        sys.exit(2)
    finally:
        gc.freeze()  # else Python looks through all it holds once more before it ends: 0.2 s
