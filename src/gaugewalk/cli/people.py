"""`gaugewalk people` and `gaugewalk token`: who may come in, and as what."""

import json
import sys
from contextlib import closing
from pathlib import Path

import typer

from gaugewalk.cli.clock import now
from gaugewalk.cli.opening import people_place
from gaugewalk.errors import ArgumentError, NotFoundError
from gaugewalk.people import accounts, sessions, tokens
from gaugewalk.people.member import Account, Token
from gaugewalk.people.rights import RIGHTS, role_named
from gaugewalk.people.store import Store


def open_people(plant: Path, journal: str | None) -> "closing[Store]":
    """Open the people that belong to a plant and its journal."""
    if not plant.is_file():
        raise NotFoundError(f"no plant file at {str(plant)!r}. Name one with --plant FILE.")
    return closing(Store.open(people_place(plant, journal)))


def add_person(
    plant: Path, journal: str | None, name: str, *, role: str, openid: str | None, from_stdin: bool
) -> None:
    """Let a person sign in."""
    as_what = role_named(role)
    password = None if openid and not from_stdin else new_password(from_stdin=from_stdin)
    with open_people(plant, journal) as store:
        made = accounts.add_account(
            store, name, as_what, now=now(), password=password, openid=openid
        )
    typer.echo(f"{made.name} may sign in as {made.role}: {_may(made)}.")


def new_password(*, from_stdin: bool) -> str:
    """Ask for a password twice, unseen; or take the first line of standard input.

    It is never an argument: those stand in the shell's history and in the list of processes.
    """
    if from_stdin:
        return sys.stdin.readline().rstrip("\r\n")
    if not sys.stdin.isatty():
        raise ArgumentError("There is nobody to type a password. Send it with --password-stdin.")
    asked: str = typer.prompt("Password", hide_input=True, confirmation_prompt="Once more")
    return asked


def list_people(plant: Path, journal: str | None, *, as_json: bool) -> None:
    """List who may sign in."""
    with open_people(plant, journal) as store:
        known = accounts.every_account(store)
    if as_json:
        typer.echo(json.dumps([_account_json(one) for one in known], ensure_ascii=False, indent=2))
        return
    if not known:
        typer.echo("No accounts. Add one: gaugewalk people add NAME --role ROLE.")
    for one in known:
        typer.echo(f"{one.name:<30} {one.role:<11} {_ways(one)}")


def _ways(one: Account) -> str:
    if one.closed:
        return "closed"
    elsewhere = f"at the provider as {one.openid}" if one.openid else ""
    return " and ".join(filter(None, ["by password" if one.has_password else "", elsewhere]))


def change_role(plant: Path, journal: str | None, name: str, role: str) -> None:
    """Give a person another role."""
    with open_people(plant, journal) as store:
        made = accounts.set_role(store, name, role_named(role))
    typer.echo(f"{made.name} is {made.role} from now on: {_may(made)}.")


def change_password(plant: Path, journal: str | None, name: str, *, from_stdin: bool) -> None:
    """Give a person another password and sign them out everywhere."""
    with open_people(plant, journal) as store:
        known = accounts.account(store, name)
        made = accounts.set_password(store, known.name, new_password(from_stdin=from_stdin))
    typer.echo(f"{made.name} has a new password and is signed out everywhere.")


def change_openid(plant: Path, journal: str | None, name: str, openid: str | None) -> None:
    """Say by which name the provider knows a person."""
    with open_people(plant, journal) as store:
        made = accounts.set_openid(store, name, openid)
    said = f"signs in as {made.openid}" if made.openid else "no longer signs in at the provider"
    typer.echo(f"{made.name} {said}.")


def close_person(plant: Path, journal: str | None, name: str) -> None:
    """Let a person sign in no longer."""
    with open_people(plant, journal) as store:
        made = accounts.close_account(store, name)
    typer.echo(f"{made.name} can no longer sign in and is signed out. The name stays taken.")


def reopen_person(plant: Path, journal: str | None, name: str) -> None:
    """Let a person sign in again."""
    with open_people(plant, journal) as store:
        made = accounts.reopen_account(store, name)
    typer.echo(f"{made.name} may sign in again as {made.role}.")


def sign_out(plant: Path, journal: str | None, name: str) -> None:
    """End all sessions of a person."""
    with open_people(plant, journal) as store:
        known = accounts.account(store, name)
        count = sessions.sign_out_everywhere(store, known.name)
    typer.echo(f"{known.name}: {count} {'session' if count == 1 else 'sessions'} ended.")


def add_token(plant: Path, journal: str | None, name: str, *, role: str, days: int) -> None:
    """Make a token for a machine; its key is shown this once."""
    with open_people(plant, journal) as store:
        made, key = tokens.add_token(store, name, role_named(role), days=days, now=now())
    until = f"{made.ends_at:%Y-%m-%d}"
    typer.echo(f"{made.name}, {made.role}, until {until}. Its key, shown this once:")
    typer.echo(key)


def list_tokens(plant: Path, journal: str | None, *, as_json: bool) -> None:
    """List the tokens."""
    with open_people(plant, journal) as store:
        known = tokens.every_token(store)
    if as_json:
        typer.echo(json.dumps([_token_json(one) for one in known], ensure_ascii=False, indent=2))
        return
    if not known:
        typer.echo("No tokens. Make one: gaugewalk token add NAME --role ROLE.")
    for one in known:
        over = one.ended or one.ends_at <= now()
        until = "ended" if over else f"until {one.ends_at:%Y-%m-%d}"
        typer.echo(f"{one.name:<30} {one.role:<11} {until}")


def end_token(plant: Path, journal: str | None, name: str) -> None:
    """End a token at once."""
    with open_people(plant, journal) as store:
        made = tokens.end_token(store, name)
    typer.echo(f"The token {made.name} has ended.")


def _may(one: Account) -> str:
    rights = RIGHTS[one.role]
    return "may " + ", ".join(right.value for right in type(next(iter(rights))) if right in rights)


def _account_json(one: Account) -> dict[str, object]:
    return {
        "name": one.name,
        "role": one.role.value,
        "closed": one.closed,
        "password": one.has_password,
        "openid": one.openid,
        "made_at": one.made_at.isoformat(),
    }


def _token_json(one: Token) -> dict[str, object]:
    return {
        "name": one.name,
        "role": one.role.value,
        "made_at": one.made_at.isoformat(),
        "ends_at": one.ends_at.isoformat(),
        "ended": one.ended,
    }
