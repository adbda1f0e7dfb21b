"""The handover as PDF, with the course of each pump in trouble."""

from dataclasses import asdict
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from gaugewalk.watch.courses import courses_of
from gaugewalk.watch.desk import Desk
from gaugewalk.watch.handover_view import Handover, Signature, to_json
from gaugewalk.watch.paper import make_pdf
from gaugewalk.watch.trend_chart import trend_picture
from gaugewalk.watch.trouble_past import line_of, lives_of
from gaugewalk.watch.wall import clock, stamp_of


def handover_pdf(desk: Desk, handover: Handover, *, now: datetime, paper: str = "a4") -> bytes:
    """Set a handover as PDF.

    Raises
    ------
    ArgumentError
        The typesetter is not installed, or there is no such paper.
    """
    zone = ZoneInfo(handover.time_zone)
    ends = clock(handover.ends_at, zone, beside=handover.began_at)
    written = clock(handover.written_at, zone, beside=handover.began_at)
    data: dict[str, Any] = {
        **to_json(handover),
        "under": f"Shift {stamp_of(handover.began_at, zone)} to {ends}, written {written}",
        "signed": _signature(handover.signed, zone),
        "taken": _signature(handover.taken, zone),
        "charts": trouble_charts(desk, handover, now),
    }
    return make_pdf("handover", data, now=now, paper=paper)


def _signature(signature: Signature | None, zone: ZoneInfo) -> dict[str, Any] | None:
    return {**asdict(signature), "at": stamp_of(signature.at, zone)} if signature else None


def trouble_charts(
    desk: Desk, handover: Handover, now: datetime, *, on_paper: bool = True
) -> dict[str, list[dict[str, str]]]:
    """Return one picture for each pump in trouble that the plant file still has, by trouble."""
    made = {}
    with desk.journal.reading() as ledger:
        for item in handover.section("troubles").items:
            lives = lives_of(ledger, item.tag)
            if item.tag not in desk.pumps or item.id not in lives:
                continue
            line = line_of(desk, item.tag, lives[item.id])
            until = min(now, handover.written_at)
            courses = courses_of(
                ledger, desk.pumps[item.tag], line.points, since=line.opened_at, now=until, most=1
            )
            made[item.id] = [
                {
                    "svg": trend_picture(
                        course, desk.zone, barometric=desk.barometric, on_paper=on_paper
                    ),
                    "alt": course.title,
                }
                for course in courses
            ]
    return made
