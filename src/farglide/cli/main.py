"""The farglide command: each face is imported only inside its own subcommand."""

import gc
import os
import sys
import time
from pathlib import Path
from typing import Annotated, Final

import typer

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


def now_t_s() -> float:
    """Return the time of this computer's clock, asked for here and nowhere else."""
    return time.time()


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

    tell(checked_text(file, now_t_s()))


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

        today = None if file == face.DEMO else now_t_s()  # the invented flight has no year
        wanted = Wanted(file=file, winds=winds, pack=pack, out=out, now_t_s=today)
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
    pack: Annotated[Path, typer.Option(help="The folder to gather into.")],
    winds: Winds = None,
) -> None:
    """Read a flight's files once into a pack that opens with no other file."""
    from farglide.cli.gather import gather_into

    tell(gather_into(file, winds, pack))


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
def export(
    log: Annotated[Path, typer.Argument(help="The log of a ride, or a track file.")],
    form: Annotated[str, typer.Option("--as", help="gpx, kml, csv, geojson or igc.")],
    out: Annotated[Path | None, typer.Option(help="The file to write, else print it.")] = None,
    feed: Annotated[str | None, typer.Option(help="Only what this feed said.")] = None,
) -> None:
    """Write the track of a log for other programs to show."""
    from farglide.cli.export import exported, form_asked, tell_export, write_export

    track = exported(log, form_asked(form), feed)
    if out is None:
        tell_export(track, tell)
    else:
        tell(write_export(track, out))
    for note in track.notes:
        complain(note)


@app.command()
def feeds(
    file: Annotated[Path, typer.Argument(help="The flight file.")],
    feed: Annotated[
        list[str] | None, typer.Option(help="NAME=WHERE: read a feed from elsewhere.")
    ] = None,
    for_s: Annotated[float, typer.Option("--for", help="How many seconds to listen.")] = 10.0,
) -> None:
    """Say what is plugged in and what comes of each feed, to check the wiring."""
    from farglide.cli.feeds import feeds_text
    from farglide.live.feeds.reader import Clocks

    tell(feeds_text(file, feed or [], for_s, Clocks(time.monotonic, now_t_s)))


@app.command()
def ask(
    *,
    question: Annotated[str, typer.Argument(help="now, wait, burst or where.")],
    file: Annotated[Path | None, typer.Argument(help="The flight file.")] = None,
    track: Annotated[Path, typer.Option(help="A log of the ride, or a track of the balloon.")],
    launched: Annotated[str | None, typer.Option(help="When it left the hand.")] = None,
    at: Annotated[str | None, typer.Option(help="The moment asked about.")] = None,
    feed: Annotated[str | None, typer.Option(help="Whose fixes are the balloon's.")] = None,
    winds: Winds = None,
    pack: Annotated[Path | None, typer.Option(help="Take a gathered pack alone.")] = None,
    draws: Annotated[int, typer.Option(help="How many flights are drawn.")] = 1000,
    as_json: Annotated[bool, typer.Option("--json", help="Print one JSON document.")] = False,
) -> None:
    """Answer one question of the balloon in the air: let go now, or wait, and until when."""
    from farglide.cli.told import ASK, Told
    from farglide.cli.warm import warming

    told = Told(as_json, (ASK,))
    with warming(told, ASK) as ready:
        from farglide.cli import asknow
        from farglide.cli.inputs import Wanted
        from farglide.cli.plan import grain_asked

        wanted = Wanted(file=file, winds=winds, pack=pack, out=None)
        typed = asknow.Typed(question=question, track=track, feed=feed, launched=launched, at=at)
        answer = asknow.answered(wanted, typed, grain_asked(draws, 1), ready)
    told.finish()
    if as_json:
        tell_document(asknow.answer_document(answer))
    else:
        tell(asknow.answer_text(answer))
    for note in answer.notes:
        complain(note)


@app.command()
def search(
    *,
    file: Annotated[Path | None, typer.Argument(help="The flight file.")] = None,
    last: Annotated[str, typer.Option(help='Last true position: "LAT, LON, HEIGHT m".')],
    heading: Annotated[float | None, typer.Option(help="True heading of the glider then.")] = None,
    at: Annotated[str | None, typer.Option(help="When that was: HH:MM or T+MINUTES.")] = None,
    looked: Annotated[
        list[str] | None, typer.Option(help="SEGMENT=MINUTES looked at in vain.")
    ] = None,
    bearing: Annotated[
        list[str] | None, typer.Option(help="STAND=DEGREES in which it is heard.")
    ] = None,
    heard: Annotated[
        list[str] | None, typer.Option(help="STAND=HEIGHT at which it was heard last.")
    ] = None,
    story: Annotated[list[str] | None, typer.Option(help="STORY=WEIGHT of your own.")] = None,
    cover: Annotated[str, typer.Option(help="What grows where nothing tells.")] = "bush",
    start: Annotated[
        str | None, typer.Option("--from", help="Where you are: a stand, or LAT, LON.")
    ] = None,
    now: Annotated[str | None, typer.Option(help="When you set out.")] = None,
    back_by: Annotated[str | None, typer.Option(help="When to be back at the latest.")] = None,
    people: Annotated[int, typer.Option(help="How many look.")] = 2,
    winds: Winds = None,
    pack: Annotated[Path | None, typer.Option(help="Take a gathered pack alone.")] = None,
    out: Annotated[Path | None, typer.Option(help="Write the segments here.")] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Print one JSON document.")] = False,
) -> None:
    """Say where to look first once it is down, in which order, and when to turn back."""
    from farglide.cli.told import SEARCH, Told
    from farglide.cli.warm import warming

    told = Told(as_json, (SEARCH,))
    with warming(told, SEARCH) as ready:
        from farglide.cli import search as face
        from farglide.cli import searchasked
        from farglide.cli.inputs import Wanted

        wanted = Wanted(file=file, winds=winds, pack=pack, out=out)
        typed = searchasked.Told(
            last=last, heading_deg=heading, at=at, now=now, back_by=back_by, start=start,
            people=people, cover=cover, bearings=bearing or (), heard=heard or (),
            looked=looked or (), stories=story or (), clock_t_s=now_t_s(),
        )  # fmt: skip
        outlook = face.searched(wanted, typed, ready)
    told.finish()
    if as_json:
        tell_document(face.search_document(outlook))
        return
    tell(face.search_text(outlook, wanted))


@app.command()
def rehearse(
    *,
    file: Annotated[Path | None, typer.Argument(help="The flight file.")] = None,
    surprise: Annotated[
        list[str] | None, typer.Option(help="What is otherwise; may be given again.")
    ] = None,
    speed: Annotated[
        float, typer.Option(help="Times real time; above 100 it runs through by itself.")
    ] = 10.0,
    seed: Annotated[int, typer.Option(help="What is drawn; 0: all as planned.")] = 1,
    crew: Annotated[
        str | None, typer.Option(help="Who lets go: you, advice, window, plan, 25km or 5min.")
    ] = None,
    log: Annotated[Path | None, typer.Option(help="Write it down as a ride is.")] = None,
    winds: Winds = None,
    pack: Annotated[Path | None, typer.Option(help="Take a gathered pack alone.")] = None,
    draws: Annotated[int, typer.Option(help="How many flights are drawn.")] = 200,
) -> None:
    """Fly a made-up flight with surprises, for you to ride or run through by itself."""
    from farglide.cli.told import REHEARSE, Told
    from farglide.cli.warm import warming

    told = Told(False, (REHEARSE,))
    with warming(told, REHEARSE) as ready:
        from farglide.cli import rehearse as face
        from farglide.cli.inputs import Wanted
        from farglide.cli.plan import grain_asked

        wanted = Wanted(file=file, winds=winds, pack=pack, out=None)
        typed = face.Typed(
            surprises=tuple(surprise or ()), speed=speed, seed=seed, crew=crew, log=log
        )
        desk = face.desk_of(speed, tell)
        text = face.rehearsal_text(wanted, typed, grain_asked(draws, 1), ready, desk)
    told.finish()
    tell(text)


@app.command()
def demo(
    out: Annotated[Path, typer.Option(help="Write brief.html and plan.json here.")] = Path(
        "demo-out"
    ),
) -> None:
    """Plan the invented flight "Amber evening"."""
    from farglide.cli.plan import DEMO

    plan(file=DEMO, out=out)


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
