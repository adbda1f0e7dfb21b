"""`gaugewalk screen`: recorded history of one pump judged row by row, and what moved it."""

import json
from pathlib import Path

import typer

from gaugewalk.cli.progress import bar
from gaugewalk.diagnose.knowledge import load_knowledge
from gaugewalk.diagnose.moved import namer
from gaugewalk.errors import ArgumentError
from gaugewalk.judge.screen import Screener
from gaugewalk.judge.screen_io import (
    Record,
    flag_line,
    read_points,
    read_record,
    seconds_of,
    write_flags,
)
from gaugewalk.judge.screen_result import Episode, Report, Row

_TOLD_EVERY = 500  # rows
_SHOWN = 20  # late rows or gaps listed


def screen(
    file: Path,
    *,
    time: str,
    points: list[str],
    learn: int | None,
    learn_until: str | None,
    out: Path | None,
    as_json: bool,
) -> None:
    """Judge a file; the rows go to `out`, the episodes to the terminal (all of it with JSON)."""
    named = read_points(points)
    screener = Screener(
        points=named,
        learn_rows=learn,
        learn_until=_until(learn_until),
        name_cause=namer(load_knowledge()),
    )
    record = read_record(file, time, named)
    rows = _judged(screener, record)
    screener.report.unreadable = record.unreadable_times
    if out is not None:
        write_flags(rows, out)
    if as_json:
        typer.echo(json.dumps(_as_json(rows, screener, with_rows=out is None), indent=2))
    else:
        _print(rows, screener, out)


def _judged(screener: Screener, record: Record) -> list[Row]:
    rows, total = [], len(record.times)
    with bar(f"Judging {total} rows …") as tell:
        for n, line in enumerate(record):
            row = screener.add(*line)
            if row is not None:
                rows.append(row)
            if n % _TOLD_EVERY == 0:
                tell(n / total)
    return rows


def _until(text: str | None) -> float | None:
    if text is None:
        return None
    seconds = seconds_of(text)
    if seconds != seconds:
        raise ArgumentError(f"--learn-until {text!r}: expected a time such as 2026-03-01 06:00.")
    return seconds


def _as_json(rows: list[Row], screener: Screener, *, with_rows: bool) -> dict[str, object]:
    answer: dict[str, object] = {
        "version": 1,
        "episodes": [_episode(episode) for episode in screener.episodes],
        "record": _record(screener.report),
    }
    if with_rows:
        names = ("time", "flagged", "score", "verdict", "cause")
        answer["rows"] = [dict(zip(names, flag_line(row), strict=True)) for row in rows]
    return answer


def _episode(episode: Episode) -> dict[str, object]:
    return {
        "start": episode.start,
        "end": episode.end,
        "rows": episode.rows,
        "verdict": episode.severity.value,
        "score": round(episode.score, 3),
        "points": [
            {"point": move.point, "motion": move.motion, "words": move.words()}
            for move in episode.moves.values()
        ],
        "cause": episode.cause,
        "causes": episode.causes,
    }


def _record(report: Report) -> dict[str, object]:
    return {name: getattr(report, name) for name in Report.__dataclass_fields__}


def _print(rows: list[Row], screener: Screener, out: Path | None) -> None:
    report = screener.report
    flagged = sum(row.flagged for row in rows)
    typer.echo(
        f"{report.rows} rows read, {report.learned} learned from, {report.judged} judged, "
        f"{flagged} flagged in {len(screener.episodes)} episodes."
    )
    for line in _notes(report):
        typer.echo(f"  {line}")
    for episode in screener.episodes:
        typer.echo(f"\n{episode.start} to {episode.end}  {episode.severity}, {episode.rows} rows")
        for move in episode.moves.values():
            typer.echo(f"  {move.words()}")
        typer.echo(f"  likely: {episode.cause}")
    if out is not None:
        typer.echo(f"\nJudged rows written to {out}.")


def _notes(report: Report) -> list[str]:
    """Say what was found in the record itself."""
    notes = [f"{column}: rows without a value: {count}" for column, count in report.missing.items()]
    counts = {
        "rows with an unreadable time left out": report.unreadable,
        "doubled rows left out": report.doubled,
        "rows with the time of the row before but other values, judged": len(report.same_time),
        "rows out of order left out": len(report.late),
        "gaps": len(report.gaps),
        "times the clock jumped an hour ahead (or an hour is missing)": len(
            report.clock_set_forward
        ),
        "times the clock was set back an hour": len(report.clock_set_back),
    }
    notes += [f"{words}: {count}" for words, count in counts.items() if count]
    if len(report.late) > report.rows // 2:
        notes.append("most rows are out of order: sort the file by time first")
    notes += [
        f"{column}: never moved in the rows learned from; is it alive?"
        for column in report.never_moved
    ]
    notes += [f"{column}: not moving since {since}" for column, since in report.frozen.items()]
    notes += [f"{column}: {words}; check the unit" for column, words in report.unit_changed.items()]
    notes += [f"{column}: too few values to learn from, not judged" for column in report.silent]
    return notes[:_SHOWN]
