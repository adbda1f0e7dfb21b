"""`gaugewalk did`: record what was done to keep a pump well."""

from pathlib import Path

import typer

from gaugewalk.cli.clock import now
from gaugewalk.cli.opening import open_watch
from gaugewalk.errors import ArgumentError
from gaugewalk.watch.deeds import DEEDS
from gaugewalk.watch.wall import read_time


def did(
    plant: Path,
    journal: str | None,
    tag: str,
    what: str,
    *,
    place: str,
    amount: str,
    found: str,
    who: str,
    seen: str | None,
) -> None:
    """Record one deed; say what to mind and what will be asked for."""
    watch = open_watch(plant, journal)
    try:
        at = now()
        kept = watch.program.did(
            tag,
            what,
            place=place,
            amount=amount,
            found=found,
            who=who,
            now=at,
            seen_at=read_time(seen, watch.desk.zone) if seen else None,
        )
    finally:
        watch.journal.close()
    typer.echo(f"{tag}: {kept.entry.body['text']}")
    for warning in kept.warnings:
        typer.echo(f"  Mind: {warning}")
    for words in kept.follow_ups:
        typer.echo(f"  Look again: {words}")
    if kept.trouble_id:
        typer.echo("  A trouble is open for it.")


def kinds() -> None:
    """List what can be recorded, with its places and the unit of its amount."""
    for name, kind in DEEDS.items():
        places = ", ".join(place for place in kind.places if place)
        amount = f"; amount in {kind.unit}" if kind.quantity else ""
        typer.echo(f"  {name:22} {kind.words}{f' ({places})' if places else ''}{amount}")


def must_name(tag: str | None, what: str | None) -> tuple[str, str]:
    """Return tag and deed where both are named."""
    if tag is None or what is None:
        raise ArgumentError("name the pump and what was done, as in: did W11A greased --place de.")
    return tag, what
