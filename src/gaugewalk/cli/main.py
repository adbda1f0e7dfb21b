"""The command line: what each command is called and takes; the work is done elsewhere.

Nothing heavy is imported here: each command imports what it needs when it is called, so that
``gaugewalk --help`` answers at once.
"""

import os
import sys
from pathlib import Path
from typing import Annotated

import typer

from gaugewalk import __version__
from gaugewalk.cli.people_commands import people, token
from gaugewalk.errors import GaugewalkError

app = typer.Typer(
    name="gaugewalk",
    help="The pump watch-keeper's bench: from a gauge to a cause and a careful action.",
    epilog="Site procedures, local codes and licensed practice come before anything shown here.",
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
)

app.add_typer(people, name="people")
app.add_typer(token, name="token")

PlantOption = Annotated[
    Path, typer.Option("--plant", envvar="GAUGEWALK_PLANT", help="The plant file.")
]
JournalOption = Annotated[
    str | None,
    typer.Option(
        "--journal",
        envvar="GAUGEWALK_JOURNAL",
        help="The journal: a file or postgresql://USER@HOST/NAME; else watch.db beside the plant.",
    ),
]
WhoOption = Annotated[
    str, typer.Option("--who", envvar="GAUGEWALK_WHO", help="Who is looking: name or watch.")
]
JsonOption = Annotated[bool, typer.Option("--json", help="Answer as JSON.")]
ReplaceOption = Annotated[bool, typer.Option("--replace", help="Write over what is there already.")]
DEFAULT_PLANT = Path("plant.toml")


def _version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"gaugewalk {__version__}")
        raise typer.Exit


@app.callback()
def _main(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Show the version.")
    ] = False,
) -> None:
    """Nothing to do before a command but to answer --version."""


@app.command()
def check(
    plant: Annotated[Path, typer.Argument(help="The plant file (TOML).")] = DEFAULT_PLANT,
    as_json: JsonOption = False,
) -> None:
    """Check a plant file and list every fault with its line."""
    from gaugewalk.cli.check import check as run_check

    raise typer.Exit(run_check(plant, as_json=as_json))


@app.command()
def demo(
    folder: Annotated[Path, typer.Option("--folder", help="Where the demo plant lives.")] = Path(
        "demo-plant"
    ),
    port: Annotated[int, typer.Option("--port", min=1, max=65535)] = 8765,
    fresh: Annotated[bool, typer.Option("--fresh", help="Make its history anew.")] = False,
    prepare_only: Annotated[bool, typer.Option("--prepare-only", help="Do not serve.")] = False,
) -> None:
    """Make the demo plant with 60 days of rounds, then serve it."""
    from gaugewalk.cli.demo import demo as run_demo

    run_demo(folder, port=port, fresh=fresh, prepare_only=prepare_only)


@app.command()
def serve(
    plant: PlantOption = DEFAULT_PLANT,
    journal: JournalOption = None,
    host: Annotated[
        str, typer.Option("--host", help="Where to listen; others than loopback need accounts.")
    ] = "127.0.0.1",
    port: Annotated[int, typer.Option("--port", min=1, max=65535)] = 8765,
    address: Annotated[
        list[str] | None, typer.Option("--address", help="What people type to come here.")
    ] = None,
    certificate: Annotated[Path | None, typer.Option("--certificate", help="For https.")] = None,
    key: Annotated[Path | None, typer.Option("--key", help="Of the certificate.")] = None,
    proxy: Annotated[
        str, typer.Option("--proxy", help="Where the https terminator before this runs.")
    ] = "127.0.0.1",
    openid: Annotated[
        str | None, typer.Option("--openid", help="Address of an OpenID provider.")
    ] = None,
    openid_client: Annotated[str, typer.Option("--openid-client")] = "",
    openid_claim: Annotated[str, typer.Option("--openid-claim", help="sub or email.")] = "sub",
    json_log: Annotated[bool, typer.Option("--json-log", help="One JSON object a line.")] = False,
) -> None:
    """Serve the screens of one plant."""
    from gaugewalk.cli.reach import Reach
    from gaugewalk.cli.serve import serve as run_serve

    reach = Reach(
        addresses=tuple(address or ()), certificate=certificate, key=key, proxy=proxy,
        openid=openid, client=openid_client, claim=openid_claim,
    )  # fmt: skip
    run_serve(plant, journal, host=host, port=port, reach=reach, json_log=json_log)


@app.command()
def read(
    tag: Annotated[str, typer.Argument(help="The pump's tag.")],
    values: Annotated[
        list[str], typer.Argument(help='point=value, as in discharge_pressure="3.1 barg"')
    ],
    plant: PlantOption = DEFAULT_PLANT,
    journal: JournalOption = None,
    who: WhoOption = "command line",
    seen: Annotated[
        str | None, typer.Option("--seen", help="When it was seen (ISO 8601); else now.")
    ] = None,
    as_json: JsonOption = False,
) -> None:
    """Record readings of one pump and get the verdict at once."""
    from gaugewalk.cli.read import read as run_read

    run_read(plant, journal, tag, values, who=who, seen=seen, as_json=as_json)


@app.command(name="round")
def walk_round(
    name: Annotated[str | None, typer.Argument(help="Which round; else the one most due.")] = None,
    plant: PlantOption = DEFAULT_PLANT,
    journal: JournalOption = None,
    who: WhoOption = "command line",
) -> None:
    """Walk a round in the terminal, pump by pump."""
    from gaugewalk.cli.round_ import walk as run_walk

    run_walk(plant, journal, name, who=who)


@app.command()
def why(
    tag: Annotated[str | None, typer.Argument(help="A pump's tag.")] = None,
    case: Annotated[
        str | None, typer.Option("--case", help="A case as JSON: a file, or - for standard input.")
    ] = None,
    plant: PlantOption = DEFAULT_PLANT,
    journal: JournalOption = None,
    knowledge: Annotated[
        Path | None, typer.Option("--knowledge", help="Your plant's own knowledge file.")
    ] = None,
    as_json: JsonOption = False,
) -> None:
    """Find the causes, the check that decides and the careful action."""
    from gaugewalk.cli.why import why as run_why

    run_why(tag, case, plant=plant, journal=journal, knowledge=knowledge, as_json=as_json)


@app.command()
def causes(
    cause: Annotated[str | None, typer.Argument(help="One cause's id.")] = None,
    knowledge: Annotated[Path | None, typer.Option("--knowledge")] = None,
    as_json: JsonOption = False,
) -> None:
    """List the causes known, or explain one."""
    from gaugewalk.cli.causes import show_causes

    show_causes(cause, knowledge=knowledge, as_json=as_json)


@app.command()
def findings(
    finding: Annotated[str | None, typer.Argument(help="One finding's id.")] = None,
    knowledge: Annotated[Path | None, typer.Option("--knowledge")] = None,
    as_json: JsonOption = False,
) -> None:
    """List the findings asked for, or explain one."""
    from gaugewalk.cli.causes import show_findings

    show_findings(finding, knowledge=knowledge, as_json=as_json)


@app.command()
def calc(
    name: Annotated[str | None, typer.Argument(help="Which calculation; none lists them.")] = None,
    values: Annotated[
        list[str] | None, typer.Argument(help='key=value, as in flow="40 m3/h"')
    ] = None,
    as_json: JsonOption = False,
    plot: Annotated[
        Path | None, typer.Option("--plot", help="Draw it into FILE.svg or FILE.png.")
    ] = None,
    monte_carlo: Annotated[
        bool, typer.Option("--monte-carlo", help="Uncertainty by drawing, not by slopes.")
    ] = False,
    elevation: Annotated[
        str | None, typer.Option("--elevation", help='Of the site, as in "300 m".')
    ] = None,
) -> None:
    """Work out an engineering figure, with formula, source and caution."""
    from gaugewalk.cli.calc import calc as run_calc

    run_calc(
        name,
        values or [],
        as_json=as_json,
        plot=plot,
        monte_carlo=monte_carlo,
        elevation=elevation,
    )


@app.command()
def screen(
    file: Annotated[Path, typer.Argument(help="Recorded history: CSV or Parquet.")],
    time: Annotated[str, typer.Option("--time", help="The column that holds the time.")],
    point: Annotated[list[str], typer.Option("--point", help="COLUMN=POINT:UNIT, once a column.")],
    learn: Annotated[
        int | None, typer.Option("--learn", min=2, help="Rows to learn normal from.")
    ] = None,
    learn_until: Annotated[
        str | None, typer.Option("--learn-until", help="Learn normal up to this time.")
    ] = None,
    out: Annotated[Path | None, typer.Option("--out", help="Where the judged rows go.")] = None,
    as_json: JsonOption = False,
) -> None:
    """Judge recorded history of one pump, row by row, without looking ahead."""
    from gaugewalk.cli.screen import screen as run_screen

    run_screen(
        file,
        time=time,
        points=point,
        learn=learn,
        learn_until=learn_until,
        out=out,
        as_json=as_json,
    )


@app.command()
def ahead(
    tag: Annotated[str | None, typer.Argument(help="One pump's tag; none: every pump.")] = None,
    plant: PlantOption = DEFAULT_PLANT,
    journal: JournalOption = None,
    as_json: JsonOption = False,
) -> None:
    """Say what will reach its limit, and when."""
    from gaugewalk.cli.ahead import ahead as run_ahead

    run_ahead(plant, journal, tag, as_json=as_json)


@app.command()
def due(
    plant: PlantOption = DEFAULT_PLANT,
    journal: JournalOption = None,
    everything: Annotated[bool, typer.Option("--all", help="Also what comes later.")] = False,
    as_json: JsonOption = False,
) -> None:
    """Say what is due by walking order: grease, oil, samples, strainers, standby pumps."""
    from gaugewalk.cli.due import due as run_due

    run_due(plant, journal, everything=everything, as_json=as_json)


@app.command()
def did(
    tag: Annotated[str | None, typer.Argument(help="The pump's tag; none lists what.")] = None,
    what: Annotated[str | None, typer.Argument(help='What was done, as in "greased".')] = None,
    place: Annotated[str, typer.Option("--place", help="Where, as in de or suction.")] = "",
    amount: Annotated[str, typer.Option("--amount", help='How much, as in "12 g".')] = "",
    found: Annotated[str, typer.Option("--found", help="What was found.")] = "",
    plant: PlantOption = DEFAULT_PLANT,
    journal: JournalOption = None,
    who: WhoOption = "command line",
    seen: Annotated[
        str | None, typer.Option("--seen", help="When it was done (ISO 8601); else now.")
    ] = None,
) -> None:
    """Record care: greased, oil topped up, strainer cleaned, test run, isolated, ..."""
    from gaugewalk.cli.did import did as run_did
    from gaugewalk.cli.did import kinds, must_name

    if tag is None and what is None:
        kinds()
        return
    pump, deed = must_name(tag, what)
    run_did(plant, journal, pump, deed, place=place, amount=amount, found=found, who=who, seen=seen)


@app.command()
def procedure(
    name: Annotated[str | None, typer.Argument(help="Which check-list; none lists them.")] = None,
    tag: Annotated[str | None, typer.Argument(help="Fit it to this pump.")] = None,
    plant: PlantOption = DEFAULT_PLANT,
    journal: JournalOption = None,
    as_json: JsonOption = False,
) -> None:
    """Write a check-list with its cautions, holds and sources."""
    from gaugewalk.cli.procedure import procedure as run_procedure

    run_procedure(name, tag, plant=plant, journal=journal, as_json=as_json)


@app.command(name="import")
def import_file(
    file: Annotated[Path, typer.Argument(help="CSV with time, tag, point, value, unit.")],
    plant: PlantOption = DEFAULT_PLANT,
    journal: JournalOption = None,
    who: WhoOption = "import",
) -> None:
    """Bring readings in from a CSV file; the same file twice changes nothing."""
    from gaugewalk.cli.import_ import import_readings

    import_readings(plant, journal, file, who=who)


@app.command()
def handover(
    plant: PlantOption = DEFAULT_PLANT,
    journal: JournalOption = None,
    shift: Annotated[
        str | None, typer.Option("--shift", help="A time in the shift; else the one due now.")
    ] = None,
    pdf: Annotated[Path | None, typer.Option("--pdf", help="Write it as PDF to this file.")] = None,
    sign: Annotated[bool, typer.Option("--sign", help="Sign as the outgoing.")] = False,
    take: Annotated[bool, typer.Option("--take", help="Sign as the incoming.")] = False,
    read_about: Annotated[
        list[str] | None, typer.Option("--read", help="A pump in trouble that was read about.")
    ] = None,
    who: Annotated[str, typer.Option("--who", envvar="GAUGEWALK_WHO", help="Who signs.")] = "",
    replace: ReplaceOption = False,
    as_json: JsonOption = False,
) -> None:
    """Write what the next watch must know, and sign it."""
    from gaugewalk.cli.handover import handover as run_handover

    run_handover(
        plant,
        journal,
        shift=shift,
        pdf=pdf,
        sign=sign,
        take=take,
        read=read_about or [],
        who=who,
        replace=replace,
        as_json=as_json,
    )


@app.command(name="work-request")
def work_request(
    tag: Annotated[str, typer.Argument(help="The tag of a pump in trouble.")],
    plant: PlantOption = DEFAULT_PLANT,
    journal: JournalOption = None,
    pdf: Annotated[Path | None, typer.Option("--pdf", help="Write it as PDF to this file.")] = None,
    replace: ReplaceOption = False,
    as_json: JsonOption = False,
) -> None:
    """Write one page on a trouble for a mechanic and a planner."""
    from gaugewalk.cli.work_request import work_request as run_work_request

    run_work_request(plant, journal, tag, pdf=pdf, replace=replace, as_json=as_json)


@app.command()
def export(
    what: Annotated[str, typer.Argument(help="readings, troubles or rounds.")],
    file: Annotated[
        str, typer.Argument(help="Ends in .csv, .json, .xlsx or .parquet; - writes CSV here.")
    ] = "-",
    since: Annotated[str | None, typer.Option("--since", help="From when; else all.")] = None,
    until: Annotated[str | None, typer.Option("--until", help="To when; else now.")] = None,
    tag: Annotated[
        list[str] | None, typer.Option("--tag", help="Only this pump; may be given again.")
    ] = None,
    plant: PlantOption = DEFAULT_PLANT,
    journal: JournalOption = None,
    replace: ReplaceOption = False,
) -> None:
    """Write readings, troubles or rounds as a table for other programs."""
    from gaugewalk.cli.export import export as run_export

    run_export(
        plant, journal, what, file, since=since, until=until, tags=tag or [], replace=replace
    )


@app.command()
def backup(
    file: Annotated[Path, typer.Argument(help="Where the copy goes.")],
    plant: PlantOption = DEFAULT_PLANT,
    journal: JournalOption = None,
    replace: ReplaceOption = False,
) -> None:
    """Copy the journal while it is in use, and verify the copy."""
    from gaugewalk.cli.backup import backup as run_backup

    run_backup(plant, journal, file, replace=replace)


@app.command()
def restore(
    file: Annotated[Path, typer.Argument(help="A backup.")],
    plant: PlantOption = DEFAULT_PLANT,
    journal: JournalOption = None,
    replace: ReplaceOption = False,
) -> None:
    """Put a verified backup in the place of the journal; what is there is kept beside it."""
    from gaugewalk.cli.backup import restore as run_restore

    run_restore(plant, journal, file, replace=replace)


@app.command()
def verify(
    plant: PlantOption = DEFAULT_PLANT,
    journal: JournalOption = None,
    was: Annotated[
        str | None, typer.Option("--was", help="A last hash written down before.")
    ] = None,
    as_json: JsonOption = False,
) -> None:
    """Say whether the journal is complete and as it was written."""
    from gaugewalk.cli.verify import verify as run_verify

    run_verify(plant, journal, was=was, as_json=as_json)


@app.command()
def move(
    source: Annotated[
        str, typer.Argument(metavar="FROM", help="The journal: a file or postgresql://…")
    ],
    target: Annotated[str, typer.Argument(metavar="TO", help="Where to copy it: the same.")],
) -> None:
    """Copy a journal into PostgreSQL or back, verified; called again it goes on."""
    from gaugewalk.cli.move import move as run_move

    run_move(source, target)


@app.command()
def rebuild(plant: PlantOption = DEFAULT_PLANT, journal: JournalOption = None) -> None:
    """Verify the journal and build what the screens show anew from it."""
    from gaugewalk.cli.rebuild import rebuild as run_rebuild

    run_rebuild(plant, journal)


def run() -> None:
    """Start the command line; an error of ours is a message, never a traceback."""
    try:
        app()
    except GaugewalkError as error:
        typer.echo(f"gaugewalk: {error}", err=True)
        sys.exit(2)
    except BrokenPipeError:
        # The reader of our output has gone (as with `| head`): nothing more to say.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        sys.exit(1)
    except KeyboardInterrupt:
        sys.exit(130)
    except Exception as error:
        typer.echo(f"gaugewalk: {_our_fault(error)}", err=True)
        sys.exit(70)


def _our_fault(error: Exception) -> str:
    """Say what nobody foresaw; its traceback goes to a file, for whoever mends it."""
    import tempfile
    import traceback

    with tempfile.NamedTemporaryFile(
        "w", prefix="gaugewalk-", suffix=".txt", delete=False, encoding="utf-8"
    ) as file:
        traceback.print_exception(error, file=file)
    told = " ".join(str(error).split())[:200]
    return (
        f"a fault of this program ({type(error).__name__}: {told}). What was acknowledged before "
        f"is kept. Where it went wrong stands in {file.name}; send that to who looks after it."
    )


if __name__ == "__main__":
    run()
