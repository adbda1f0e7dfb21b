"""What the commands about people and tokens are called and take; the work is done elsewhere."""

from pathlib import Path
from typing import Annotated

import typer

PlantOption = Annotated[
    Path, typer.Option("--plant", envvar="GAUGEWALK_PLANT", help="The plant file.")
]
JournalOption = Annotated[
    str | None, typer.Option("--journal", envvar="GAUGEWALK_JOURNAL", help="The journal.")
]
JsonOption = Annotated[bool, typer.Option("--json", help="Answer as JSON.")]
StdinOption = Annotated[
    bool, typer.Option("--password-stdin", help="Take the password from standard input.")
]
RoleOption = Annotated[
    str, typer.Option("--role", help="reader, operator, shift-lead or engineer.")
]
PersonName = Annotated[str, typer.Argument(help="The name as it stands in the journal.")]
TokenName = Annotated[str, typer.Argument(help="What the machine is called in the journal.")]
DEFAULT_PLANT = Path("plant.toml")

people = typer.Typer(no_args_is_help=True, rich_markup_mode=None, help="Who may sign in, as what.")
token = typer.Typer(no_args_is_help=True, rich_markup_mode=None, help="Keys for machines.")


@people.command()
def add(
    name: PersonName,
    role: RoleOption,
    openid: Annotated[
        str | None, typer.Option("--openid", help="By which name the provider knows the person.")
    ] = None,
    password_stdin: StdinOption = False,
    plant: PlantOption = DEFAULT_PLANT,
    journal: JournalOption = None,
) -> None:
    """Let a person sign in; the password is asked for."""
    from gaugewalk.cli.people import add_person

    add_person(plant, journal, name, role=role, openid=openid, from_stdin=password_stdin)


@people.command(name="list")
def list_(
    plant: PlantOption = DEFAULT_PLANT, journal: JournalOption = None, as_json: JsonOption = False
) -> None:
    """List who may sign in."""
    from gaugewalk.cli.people import list_people

    list_people(plant, journal, as_json=as_json)


@people.command()
def role(
    name: PersonName,
    role: Annotated[str, typer.Argument(help="reader, operator, shift-lead or engineer.")],
    plant: PlantOption = DEFAULT_PLANT,
    journal: JournalOption = None,
) -> None:
    """Give a person another role."""
    from gaugewalk.cli.people import change_role

    change_role(plant, journal, name, role)


@people.command()
def password(
    name: PersonName,
    password_stdin: StdinOption = False,
    plant: PlantOption = DEFAULT_PLANT,
    journal: JournalOption = None,
) -> None:
    """Give a person another password; all their sessions end."""
    from gaugewalk.cli.people import change_password

    change_password(plant, journal, name, from_stdin=password_stdin)


@people.command()
def openid(
    name: PersonName,
    subject: Annotated[
        str | None, typer.Argument(help="By which name the provider knows them; none: not at all.")
    ] = None,
    plant: PlantOption = DEFAULT_PLANT,
    journal: JournalOption = None,
) -> None:
    """Say by which name the provider knows a person."""
    from gaugewalk.cli.people import change_openid

    change_openid(plant, journal, name, subject)


@people.command()
def close(
    name: PersonName, plant: PlantOption = DEFAULT_PLANT, journal: JournalOption = None
) -> None:
    """Let a person sign in no longer, and sign them out."""
    from gaugewalk.cli.people import close_person

    close_person(plant, journal, name)


@people.command()
def reopen(
    name: PersonName, plant: PlantOption = DEFAULT_PLANT, journal: JournalOption = None
) -> None:
    """Let a person sign in again."""
    from gaugewalk.cli.people import reopen_person

    reopen_person(plant, journal, name)


@people.command(name="sign-out")
def sign_out(
    name: PersonName, plant: PlantOption = DEFAULT_PLANT, journal: JournalOption = None
) -> None:
    """End all sessions of a person, as after a lost phone."""
    from gaugewalk.cli.people import sign_out as end_sessions

    end_sessions(plant, journal, name)


@token.command(name="add")
def add_token(
    name: TokenName,
    role: RoleOption,
    days: Annotated[int, typer.Option("--days", min=1, max=400, help="How long it is good.")] = 90,
    plant: PlantOption = DEFAULT_PLANT,
    journal: JournalOption = None,
) -> None:
    """Make a key for a machine; it is shown this once."""
    from gaugewalk.cli.people import add_token as make

    make(plant, journal, name, role=role, days=days)


@token.command(name="list")
def list_tokens(
    plant: PlantOption = DEFAULT_PLANT, journal: JournalOption = None, as_json: JsonOption = False
) -> None:
    """List the tokens and until when they are good."""
    from gaugewalk.cli.people import list_tokens as show

    show(plant, journal, as_json=as_json)


@token.command()
def end(name: TokenName, plant: PlantOption = DEFAULT_PLANT, journal: JournalOption = None) -> None:
    """End a token at once."""
    from gaugewalk.cli.people import end_token

    end_token(plant, journal, name)
