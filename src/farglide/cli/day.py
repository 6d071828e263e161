"""Commands of the day: feeds, the ride, a question from the air, the track, the search."""

from pathlib import Path
from typing import Annotated

import typer

from farglide.cli import today
from farglide.cli.terminal import complain, tell, tell_document

app = typer.Typer(rich_markup_mode=None)

Winds = Annotated[
    Path | None, typer.Option(help="A file of winds, in place of the flight file's own.")
]
Feeds = Annotated[list[str] | None, typer.Option(help="NAME=WHERE: read a feed from elsewhere.")]


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

    tell(feeds_text(file, feed or [], for_s, Clocks(today.monotonic_s, today.now_t_s)))


@app.command()
def ride(
    file: Annotated[Path | None, typer.Argument(help="The flight file.")] = None,
    pack: Annotated[Path | None, typer.Option(help="Take a gathered pack alone.")] = None,
    winds: Winds = None,
    feed: Feeds = None,
    log: Annotated[Path, typer.Option(help="The log, begun or gone on with.")] = Path("ride.log"),
    draws: Annotated[int, typer.Option(help="How many flights are drawn.")] = 1000,
    speed: Annotated[
        float | None, typer.Option(help="The clock of a rehearsal: times real time.")
    ] = None,
    aloud: Annotated[
        Path | None, typer.Option(help="Write what is to be spoken, a line each, here.")
    ] = None,
) -> None:
    """Follow the flight: where it is, whether to release, until when. All is kept in a log."""
    from farglide.cli.leaving import leave
    from farglide.cli.rideshown import Told, ride_text

    told = Told(
        file=file, pack=pack, winds=winds, feeds=tuple(feed or ()), log=log, draws=draws,
        speed=speed, aloud=aloud,
    )  # fmt: skip
    ended = ride_text(told)
    tell(ended.words)
    if ended.is_hung:
        leave()


@app.command()
def ask(
    *,
    question: Annotated[str, typer.Argument(help="now, wait, lost, sun, park ...: see the docs.")],
    file: Annotated[Path | None, typer.Argument(help="The flight file.")] = None,
    track: Annotated[
        Path | None, typer.Option(help="A log of the ride, or a track of the balloon.")
    ] = None,
    typed: Annotated[
        list[str] | None, typer.Option(help='A line as in a ride: "17:40 46.7 S 108.5 E 19540".')
    ] = None,
    launched: Annotated[str | None, typer.Option(help="When it left the hand.")] = None,
    released: Annotated[str | None, typer.Option(help="When the glider was let go.")] = None,
    at: Annotated[str | None, typer.Option(help="The moment asked about.")] = None,
    feed: Annotated[str | None, typer.Option(help="Whose fixes are the balloon's.")] = None,
    car: Annotated[str | None, typer.Option(help="Where the car is: a stand, or LAT, LON.")] = None,
    grade: Annotated[int | None, typer.Option(help="fault: the picture as seen, 5 to 0.")] = None,
    card: Annotated[str | None, typer.Option(help="fault: the name of a card.")] = None,
    winds: Winds = None,
    pack: Annotated[Path | None, typer.Option(help="Take a gathered pack alone.")] = None,
    draws: Annotated[int, typer.Option(help="How many flights are drawn.")] = 1000,
    as_json: Annotated[bool, typer.Option("--json", help="Print one JSON document.")] = False,
) -> None:
    """Answer one question of the balloon in the air: let go now, or wait, and until when."""
    from farglide.cli.told import ASK, Told
    from farglide.cli.warm import warming_ride

    told = Told(as_json, (ASK,))
    with warming_ride(told, ASK) as ready:
        from farglide.cli import asknow, askstated
        from farglide.cli.inputs import Wanted
        from farglide.cli.plan import grain_asked

        wanted = Wanted(file=file, winds=winds, pack=pack, out=None)
        words = askstated.Typed(
            question=question, track=track, lines=tuple(typed or ()), feed=feed, launched=launched,
            released=released, at=at, car=car, grade=grade, card=card,
            clock_t_s=today.now_t_s(),
        )  # fmt: skip
        answer = asknow.answered(wanted, words, grain_asked(draws, 1), ready)
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
    from farglide.cli.warm import warming_ride

    told = Told(as_json, (SEARCH,))
    with warming_ride(told, SEARCH) as ready:
        from farglide.cli import search as face
        from farglide.cli import searchasked
        from farglide.cli.inputs import Wanted

        wanted = Wanted(file=file, winds=winds, pack=pack, out=out)
        typed = searchasked.Told(
            last=last, heading_deg=heading, at=at, now=now, back_by=back_by, start=start,
            people=people, cover=cover, bearings=bearing or (), heard=heard or (),
            looked=looked or (), stories=story or (), clock_t_s=today.now_t_s(),
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
    port: Annotated[
        int, typer.Option(help="Port of the tracker, the car's is the next; 0: any.")
    ] = 0,
    winds: Winds = None,
    pack: Annotated[Path | None, typer.Option(help="Take a gathered pack alone.")] = None,
    draws: Annotated[int, typer.Option(help="How many flights are drawn.")] = 200,
) -> None:
    """Fly a made-up flight with surprises, for you to ride or run through by itself."""
    from farglide.cli.told import REHEARSE, Told
    from farglide.cli.warm import warming_ride

    told = Told(False, (REHEARSE,))
    with warming_ride(told, REHEARSE) as ready:
        from farglide.cli import rehearse as face
        from farglide.cli.inputs import Wanted
        from farglide.cli.plan import grain_asked

        wanted = Wanted(file=file, winds=winds, pack=pack, out=None)
        typed = face.Typed(
            surprises=tuple(surprise or ()), speed=speed, seed=seed, crew=crew, log=log, port=port
        )

        def say(line: str) -> None:
            told.clear()  # no progress stands in front of what is said
            tell(line)

        desk = face.desk_of(speed, say, port)
        text = face.rehearsal_text(wanted, typed, grain_asked(draws, 1), ready, desk)
    told.finish()
    tell(text)
