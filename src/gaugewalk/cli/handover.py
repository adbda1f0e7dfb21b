"""`gaugewalk handover`: what the next watch must know, as text, PDF or JSON; and its signatures."""

import json
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from gaugewalk.cli.clock import now
from gaugewalk.cli.opening import open_watch
from gaugewalk.cli.whole_file import write_file
from gaugewalk.errors import ArgumentError

if TYPE_CHECKING:
    from datetime import datetime

    from gaugewalk.watch.service import Watch


def handover(
    plant: Path,
    journal: str | None,
    *,
    shift: str | None,
    pdf: Path | None,
    sign: bool,
    take: bool,
    read: list[str],
    who: str,
    replace: bool,
    as_json: bool,
) -> None:
    """Write the handover of a shift, after signing it where asked."""
    from gaugewalk.watch.handover_text import handover_text
    from gaugewalk.watch.handover_view import to_json
    from gaugewalk.watch.wall import read_time

    watch, at = open_watch(plant, journal), now()
    moment = read_time(shift, watch.desk.zone) if shift else None
    moment = moment or watch.papers.shift_to_hand_over(at)
    if sign:
        watch.papers.sign(who=_named(who), now=at, shift=moment)
    if take:
        _take(watch, read, _named(who), at, moment)
    told = watch.papers.handover(at, shift=moment)
    if pdf is not None:
        write_file(pdf, watch.papers.handover_pdf(at, shift=moment), replace=replace)
    elif as_json:
        typer.echo(json.dumps(to_json(told), indent=2, ensure_ascii=False))
    else:
        typer.echo(handover_text(told), nl=False)
    watch.journal.close()


def _take(watch: "Watch", read: list[str], who: str, at: "datetime", shift: "datetime") -> None:
    """Take it over; pumps are named by their tags here, and the troubles are found by them."""
    told = watch.papers.handover(at, shift=shift)
    ids = [item.id for item in told.to_read if item.tag in read]
    watch.papers.take_over(ids, who=who, now=at, shift=shift)


def _named(who: str) -> str:
    if not who.strip():
        raise ArgumentError("Say who signs with --who NAME (or GAUGEWALK_WHO).")
    return who
