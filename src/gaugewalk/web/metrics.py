"""What was counted, as the text that Prometheus reads (exposition format 0.0.4)."""

import os
from collections.abc import Iterator, Mapping
from pathlib import Path

from gaugewalk import __version__
from gaugewalk.web.meter import EDGES, Counts

CONTENT_TYPE = "text/plain; version=0.0.4; charset=utf-8"
_STATM = Path("/proc/self/statm")


def metrics_text(counts: Counts, entries: int, pumps: Mapping[str, int]) -> str:
    """Write all counts.

    Parameters
    ----------
    counts : Counts
        What the app did.
    entries : int
        How many entries the journal holds.
    pumps : mapping
        How many pumps stand under each word of severity.

    Examples
    --------
    >>> text = metrics_text(Counts(started=0.0), 7, {"normal": 2})
    >>> [line for line in text.splitlines() if line.startswith(("gaugewalk_j", "gaugewalk_p"))]
    ['gaugewalk_journal_entries 7', 'gaugewalk_pumps{severity="normal"} 2']
    """
    return "\n".join([*_about(counts), *_journal(entries, pumps), *_requests(counts), ""])


def _head(name: str, kind: str, words: str) -> Iterator[str]:
    yield f"# HELP {name} {words}"
    yield f"# TYPE {name} {kind}"


def _about(counts: Counts) -> Iterator[str]:
    yield from _head("gaugewalk_info", "gauge", "Version of the program.")
    yield f'gaugewalk_info{{version="{__version__}"}} 1'
    yield from _head("gaugewalk_start_time_seconds", "gauge", "When it was started, since 1970.")
    yield f"gaugewalk_start_time_seconds {counts.started:.3f}"
    if _STATM.exists():
        resident = int(_STATM.read_text("ascii").split()[1]) * os.sysconf("SC_PAGE_SIZE")
        yield from _head("process_resident_memory_bytes", "gauge", "Memory in use.")
        yield f"process_resident_memory_bytes {resident}"


def _journal(entries: int, pumps: Mapping[str, int]) -> Iterator[str]:
    yield from _head("gaugewalk_journal_entries", "gauge", "Entries of the journal.")
    yield f"gaugewalk_journal_entries {entries}"
    yield from _head("gaugewalk_pumps", "gauge", "Pumps by the most urgent word about them.")
    for severity, count in pumps.items():
        yield f'gaugewalk_pumps{{severity="{severity}"}} {count}'


def _requests(counts: Counts) -> Iterator[str]:
    yield from _head("gaugewalk_requests_in_hand", "gauge", "Requests being answered.")
    yield f"gaugewalk_requests_in_hand {counts.in_hand}"
    yield from _head("gaugewalk_requests_total", "counter", "Requests answered.")
    for (method, route, status), count in sorted(counts.answers.items()):
        labels = f'method="{method}",route="{_escaped(route)}",status="{status}"'
        yield f"gaugewalk_requests_total{{{labels}}} {count}"
    name = "gaugewalk_request_seconds"
    yield from _head(name, "histogram", "Time from a request's head to the end of its answer.")
    for route, durations in sorted(counts.durations.items()):
        label = f'route="{_escaped(route)}"'
        for edge, below in zip(EDGES, durations.buckets, strict=True):
            yield f'{name}_bucket{{{label},le="{edge:g}"}} {below}'
        yield f'{name}_bucket{{{label},le="+Inf"}} {durations.count}'
        yield f"{name}_sum{{{label}}} {durations.total:.6f}"
        yield f"{name}_count{{{label}}} {durations.count}"


def _escaped(text: str) -> str:
    return text.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n")
