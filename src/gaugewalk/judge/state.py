"""What is remembered of one point of one pump: bounded, so that a verdict's cost never grows."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from gaugewalk.judge.change import RECENT
from gaugewalk.judge.charts import Charts
from gaugewalk.judge.normal import Fit, Sample
from gaugewalk.judge.severity import Severity
from gaugewalk.judge.verdict import Change

_PAIRS = 400  # pairs of equal or unequal readings remembered, then both counts are halved


@dataclass(frozen=True, slots=True, kw_only=True)
class Recent:
    """One of the last readings of a running pump: when [s], what [SI], how far off [scatters].

    `drivers` are the values of its drivers then, [SI], NaN where they were not read.
    """

    at: float
    value: float
    deviation: float
    drivers: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Episode:
    """Something is off since then: one alert belongs to it, however many readings follow."""

    since: float
    kind: Change
    severity: Severity


@dataclass(frozen=True, slots=True, kw_only=True)
class Repeats:
    """How often a gauge repeats itself: equal readings in a row now, and pairs before."""

    value: float | None = None
    run: int = 0
    pairs: int = 0
    equal: int = 0

    def add(self, value: float) -> "Repeats":
        """Count one more reading; pairs of the present run are counted when it ends."""
        if self.value is not None and value == self.value:
            return replace(self, run=self.run + 1)
        ended = max(self.run - 1, 0)
        pairs, equal = self.pairs + ended, self.equal + ended
        if self.value is not None:
            pairs += 1
        if pairs > _PAIRS:
            pairs, equal = pairs // 2, equal // 2
        return Repeats(value=value, run=1, pairs=pairs, equal=equal)


@dataclass(frozen=True, slots=True, kw_only=True)
class PointState:
    """Everything a verdict needs to know of the past of one point of one pump.

    Bounded: at most `normal.KEPT` good readings and `change.RECENT` last ones. It is a projection:
    it can be rebuilt from the journal, and `to_json`/`from_json` carry it between runs.
    """

    samples: tuple[Sample, ...] = ()
    fit: Fit | None = None
    learned: int = 0  # good readings ever, since the last overhaul
    recent: tuple[Recent, ...] = ()
    charts: Charts = field(default_factory=Charts)
    episode: Episode | None = None
    repeats: Repeats = field(default_factory=Repeats)

    def to_json(self) -> dict[str, object]:
        """Return plain values that JSON can carry."""
        return {
            "samples": [[s.at, s.value, *map(_null, s.drivers)] for s in self.samples],
            "fit": _fit_json(self.fit),
            "learned": self.learned,
            "recent": [
                [r.at, r.value, r.deviation, *map(_null, r.drivers)] for r in self.recent
            ],
            "charts": [self.charts.ewma, self.charts.up, self.charts.down],
            "episode": (
                [self.episode.since, self.episode.kind, self.episode.severity.value]
                if self.episode
                else None
            ),
            "repeats": [
                self.repeats.value, self.repeats.run, self.repeats.pairs, self.repeats.equal,
            ],
        }  # fmt: skip

    @classmethod
    def from_json(cls, data: Mapping[str, object]) -> "PointState":
        """Return the state that `to_json` wrote; an empty mapping is a point never read."""
        if not data:
            return cls()
        values: Mapping[str, list] = data  # type: ignore[assignment,type-arg]  # our own JSON
        value, run, pairs, equal = values["repeats"]
        return cls(
            samples=tuple(
                Sample(at=at, value=v, drivers=tuple(map(_nan, drivers)))
                for at, v, *drivers in values["samples"]
            ),
            fit=_fit(data["fit"]),
            learned=int(data["learned"]),  # type: ignore[call-overload]  # our own JSON
            recent=tuple(
                Recent(at=a, value=v, deviation=d, drivers=tuple(map(_nan, drivers)))
                for a, v, d, *drivers in values["recent"]
            ),
            charts=Charts(
                ewma=values["charts"][0], up=values["charts"][1], down=values["charts"][2]
            ),
            episode=_episode(values["episode"]),
            repeats=Repeats(value=value, run=run, pairs=pairs, equal=equal),
        )


def forget(state: PointState) -> PointState:
    """Forget the own normal after an overhaul; how a gauge repeats itself is still known."""
    return PointState(repeats=replace(state.repeats, value=None, run=0))


def remember(recent: Sequence[Recent], new: Recent) -> tuple[Recent, ...]:
    """Add one to the last readings, dropping the oldest."""
    return (*recent[-(RECENT - 1) :], new)


def _fit_json(fit: Fit | None) -> dict[str, object] | None:
    if fit is None:
        return None
    return {
        "middle": fit.middle,
        "scale": fit.scale,
        "readings": fit.readings,
        "centers": list(fit.centers),
        "slopes": list(fit.slopes),
        "spreads": list(fit.spreads),
    }


def _fit(data: object) -> Fit | None:
    if not isinstance(data, Mapping):
        return None
    lists = {key: tuple(data[key]) for key in ("centers", "slopes", "spreads")}
    return Fit(middle=data["middle"], scale=data["scale"], readings=data["readings"], **lists)


def _episode(data: list[Any] | None) -> Episode | None:
    if not data:
        return None
    since, kind, severity = data
    return Episode(since=since, kind=kind, severity=Severity(severity))


def _null(value: float) -> float | None:
    return value if value == value else None


def _nan(value: float | None) -> float:
    return float("nan") if value is None else value
