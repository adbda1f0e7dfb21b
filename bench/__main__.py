"""`make bench`: every row, as one table and as JSON in bench/results/."""

import importlib
import json
import platform
from dataclasses import asdict
from pathlib import Path

from bench.common import Row, show

# Each of these modules has `rows() -> list[Row]`.
PARTS = ("startup", "physics", "circuit", "plant", "judge", "diagnose")


def main() -> None:
    """Run every part, print its rows, keep them as JSON."""
    taken: list[Row] = []
    for part in PARTS:
        rows = importlib.import_module(f"bench.{part}").rows()
        show(rows)
        taken += rows
    out = Path(__file__).parent / "results" / "bench.json"
    out.parent.mkdir(exist_ok=True)
    record = {
        "python": platform.python_version(),
        "machine": platform.machine(),
        "rows": [asdict(row) | {"ratio": row.ratio} for row in taken],
    }
    out.write_text(json.dumps(record, indent=2), "utf-8")
    print(f"Kept in {out.relative_to(Path.cwd())}" if out.is_relative_to(Path.cwd()) else out)


if __name__ == "__main__":
    main()
