"""`make bench-screen`: our screening and general-purpose detectors on open pump test-bench records.

Protocol: learn on the first 400 rows of each file, judge the rest in time order, one setting for
all files, nothing fitted to the labels. F1, false-alarm rate (FAR) and missed-alarm rate (MAR) are
taken row by row over the pooled rest. The records are not part of the project: the environment
variable GAUGEWALK_BENCH_DATA names the folder that holds `bench/valve1/0.csv` and so on.
"""

import csv
import itertools
import os
import sys
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from gaugewalk.judge.screen import screen
from gaugewalk.judge.screen_io import Record, read_points, read_record
from gaugewalk.judge.screen_point import STANDARD, Settings

LEARN = 400
POINTS = (
    "Accelerometer1RMS=vibration_de:g",
    "Accelerometer2RMS=vibration_nde:g",
    "Current=motor_current:A",
    "Pressure=discharge_pressure:barg",
    "Temperature=motor_temperature:degC",
    "Thermocouple=liquid_temperature:degC",
    "Voltage=motor_voltage:V",
    "Volume Flow RateRMS=flow:L/min",
)
# Published scoreboard of these recordings (34 files): F1, FAR %, MAR %.
PUBLISHED = (
    ("convolutional autoencoder, as published", 0.78, 13.6, 28.0),
    ("multivariate state estimation, as published", 0.78, 39.7, 14.1),
    ("T2 + Q, as published", 0.76, 26.6, 24.9),
)
Flags = NDArray[np.bool_]
Matrix = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Recording:
    """One file: its record, its values as a matrix, and which rows are labelled."""

    name: str
    record: Record
    values: Matrix
    labels: Flags


@dataclass(frozen=True, slots=True, kw_only=True)
class Score:
    """Row by row over pooled files; rates in percent."""

    f1: float
    far: float
    mar: float

    def line(self, what: str) -> str:
        return f"{what:<52} {self.f1:6.3f} {self.far:7.1f} {self.mar:7.1f}"


def data_folder() -> Path | None:
    """Return the folder of the recordings, or none where it is not named or not there."""
    named = os.environ.get("GAUGEWALK_BENCH_DATA")
    folder = Path(named) / "bench" if named else None
    return folder if folder and folder.is_dir() else None


def recordings(folder: Path) -> list[Recording]:
    """Read every labelled file below the folder."""
    points = read_points(POINTS)
    found = []
    for path in sorted(folder.glob("*/*.csv")):
        with path.open(encoding="utf-8") as file:
            rows = list(csv.DictReader(file, delimiter=";"))
        if "anomaly" not in rows[0]:
            continue
        record = read_record(path, "datetime", points)
        labels = np.array([float(row["anomaly"]) > 0.5 for row in rows])
        name = f"{path.parent.name}/{path.stem}"
        found.append(
            Recording(name=name, record=record, values=np.array(record.values), labels=labels)
        )
    return found


def ours(recording: Recording, settings: Settings = STANDARD) -> Flags:
    """Flag the rows after the learned ones with our screening."""
    return _screened(recording.record, settings)


def _screened(record: Record, settings: Settings) -> Flags:
    points = read_points(POINTS)
    columns = {p.column: [row[i] for row in record.values] for i, p in enumerate(points)}
    result = screen(
        columns,
        record.times,
        points,
        learn_rows=LEARN,
        stamps=record.stamps,
        settings=settings,
    )
    by_stamp = {row.time: row.flagged for row in result.rows}
    return np.array([by_stamp.get(stamp, False) for stamp in record.stamps[LEARN:]])


def fixed_limits(learned: Matrix, rest: Matrix) -> Flags:
    """Median +- 5 robust scatters of each channel, smoothed over 15 rows."""
    middle = np.median(learned, axis=0)
    smooth = _smooth(np.vstack([learned[-15:], rest]))[15:]
    usual = _smooth(learned)[15:]
    spread = 1.4826 * np.median(np.abs(usual - np.median(usual, axis=0)), axis=0)
    least = 1e-3 * np.abs(middle)
    return np.asarray((np.abs(smooth - middle) > 5.0 * np.maximum(spread, least)).any(axis=1))


def _smooth(values: Matrix) -> Matrix:
    total = np.cumsum(np.vstack([np.zeros(values.shape[1]), values]), axis=0)
    first = np.maximum(np.arange(len(values)) - 14, 0)
    return np.asarray((total[1:] - total[first]) / (np.arange(len(values)) + 1 - first)[:, None])


def principal_components(learned: Matrix, rest: Matrix) -> Flags:
    """Hotelling's T2 and Q residual, limits at the 99th percentile of the learned rows."""
    from sklearn.decomposition import PCA
    from sklearn.preprocessing import StandardScaler

    scaler = StandardScaler().fit(learned)
    model = PCA(n_components=0.9).fit(scaler.transform(learned))

    def distances(rows: Matrix) -> tuple[Matrix, Matrix]:
        scaled = scaler.transform(rows)
        scores = model.transform(scaled)
        t2 = (scores**2 / model.explained_variance_).sum(axis=1)
        return t2, ((scaled - model.inverse_transform(scores)) ** 2).sum(axis=1)

    limits = [np.quantile(distance, 0.99) for distance in distances(learned)]
    pairs = zip(distances(rest), limits, strict=True)
    return np.logical_or(*(distance > limit for distance, limit in pairs))


def isolation_forest(learned: Matrix, rest: Matrix) -> Flags:
    """scikit-learn's isolation forest, as it comes, seeded."""
    from sklearn.ensemble import IsolationForest

    return np.asarray(IsolationForest(random_state=0).fit(learned).predict(rest) < 0)


def local_outlier(learned: Matrix, rest: Matrix) -> Flags:
    """scikit-learn's local outlier factor for novelty, as it comes, on standardized rows."""
    from sklearn.neighbors import LocalOutlierFactor
    from sklearn.preprocessing import StandardScaler

    scaler = StandardScaler().fit(learned)
    model = LocalOutlierFactor(novelty=True).fit(scaler.transform(learned))
    return np.asarray(model.predict(scaler.transform(rest)) < 0)


PEERS: Mapping[str, Callable[[Matrix, Matrix], Flags]] = {
    "fixed robust limits, smoothed": fixed_limits,
    "T2 + Q (PCA)": principal_components,
    "isolation forest": isolation_forest,
    "local outlier factor": local_outlier,
}


def score(pairs: list[tuple[Flags, Flags]]) -> Score:
    """Pool (flags, labels) of several files."""
    flags = np.concatenate([f for f, _ in pairs])
    labels = np.concatenate([a for _, a in pairs])
    hit, false, missed = (flags & labels).sum(), (flags & ~labels).sum(), (~flags & labels).sum()
    return Score(
        f1=float(2 * hit / max(2 * hit + false + missed, 1)),
        far=float(100 * false / max((~labels).sum(), 1)),
        mar=float(100 * missed / max(labels.sum(), 1)),
    )


def compare(files: list[Recording]) -> dict[str, Score]:
    """Score ours, each peer and the detector that always alarms."""
    rest = [file.labels[LEARN:] for file in files]
    found = {"Gaugewalk": score([(ours(f), a) for f, a in zip(files, rest, strict=True)])}
    for name, peer in PEERS.items():
        flags = [peer(file.values[:LEARN], file.values[LEARN:]) for file in files]
        found[name] = score(list(zip(flags, rest, strict=True)))
    found["always alarm"] = score([(np.ones_like(a), a) for a in rest])
    return found


def halves(files: list[Recording]) -> list[tuple[Settings, Score, Score]]:
    """Choose settings on one half of the files, report on the other; both ways."""
    grid = [
        Settings(matters=matters, scatters=scatters, follow=follow)
        for matters, scatters, follow in itertools.product(
            (0.8, 1.0, 1.3), (4.0, 4.5, 5.0), (250.0, 350.0, 500.0)
        )
    ]
    flags = {s: [ours(file, s) for file in files] for s in grid}

    def of(settings: Settings, part: slice) -> Score:
        labels = [file.labels[LEARN:] for file in files]
        return score(list(zip(flags[settings], labels, strict=True))[part])

    even, odd = slice(0, None, 2), slice(1, None, 2)
    chosen = []
    for here, there in ((even, odd), (odd, even)):
        best = max(grid, key=lambda settings, part=here: of(settings, part).f1)
        chosen.append((best, of(best, here), of(best, there)))
    return chosen


def undisturbed(folder: Path) -> list[tuple[str, float]]:
    """Return the share of flagged rows, in percent, of records without any disturbance."""
    shares = []
    for path in sorted(folder.glob("anomaly-free/*.csv")):
        record = read_record(path, "datetime", read_points(POINTS))
        shares.append((path.stem, 100.0 * float(_screened(record, STANDARD).mean())))
    return shares


def main() -> int:
    """Print the table; without the recordings say so and end well."""
    folder = data_folder()
    if folder is None:
        print("The recordings are absent: set GAUGEWALK_BENCH_DATA to their folder. Nothing done.")
        return 0
    files = recordings(folder)
    print(f"{len(files)} recordings, learned on the first {LEARN} rows, pooled rest, row by row\n")
    print(f"{'':<52} {'F1':>6} {'FAR %':>7} {'MAR %':>7}")
    for name, result in compare(files).items():
        print(result.line(name))
    for name, f1, far, mar in PUBLISHED:
        print(Score(f1=f1, far=far, mar=mar).line(name))
    print("\nFile by file (ours)")
    for file in files:
        print(score([(ours(file), file.labels[LEARN:])]).line(file.name))
    for name, share in undisturbed(folder):
        print(f"{name:<52} {'':6} {share:7.1f}     (no disturbance: every flag is false)")
    print("\nSettings chosen on one half of the files, reported on the other")
    for settings, _, there in halves(files):
        words = f"matters x {settings.matters:g}, scatters {settings.scatters:g}, "
        print(there.line(f"{words}follow {settings.follow:g}"))
    return 0


if __name__ == "__main__":
    sys.exit(main())
