"""`gaugewalk ahead`: what will reach its limit, and when."""

import json
from pathlib import Path

import typer

from gaugewalk.cli.clock import now
from gaugewalk.cli.opening import open_watch
from gaugewalk.judge.forecast import Forecast


def ahead(plant: Path, journal: str | None, tag: str | None, *, as_json: bool) -> None:
    """Write the forecasts of one pump, or of all, the soonest first."""
    watch = open_watch(plant, journal)
    at = now()
    tags = [tag] if tag else list(watch.desk.pumps)
    found = [(one, forecast) for one in tags for forecast in watch.ahead(one, at)]
    found.sort(key=lambda pair: pair[1].when or at)
    watch.journal.close()
    if as_json:
        typer.echo(json.dumps([_plain(one, forecast) for one, forecast in found], indent=2))
        return
    for one, forecast in found:
        typer.echo(f"{one}  {forecast.sentence}")
    if not found:
        typer.echo("Nothing moves towards a limit that the readings would show.")


def _plain(tag: str, forecast: Forecast) -> dict[str, object]:
    times = {"when": forecast.when, "low": forecast.low, "high": forecast.high}
    return {
        "pump": tag,
        "point": forecast.point,
        "sentence": forecast.sentence,
        **{name: moment.isoformat() if moment else None for name, moment in times.items()},
        "limit": forecast.limit.value if forecast.limit else None,
        "severity": forecast.limit.severity.value if forecast.limit else None,
        "readings": forecast.readings,
    }
