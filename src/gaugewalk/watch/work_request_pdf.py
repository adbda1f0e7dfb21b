"""The work request as one page of PDF, with the course of its points."""

from dataclasses import asdict
from datetime import datetime
from typing import Any

from gaugewalk.watch.desk import Desk
from gaugewalk.watch.paper import make_pdf
from gaugewalk.watch.trend_chart import trend_picture
from gaugewalk.watch.work_request import WorkRequest


def work_request_pdf(
    desk: Desk, request: WorkRequest, *, now: datetime, paper: str = "a4"
) -> bytes:
    """Set a work request as PDF.

    Raises
    ------
    ArgumentError
        The typesetter is not installed, or there is no such paper.
    """
    return make_pdf("work_request", work_request_data(desk, request), now=now, paper=paper)


def work_request_data(desk: Desk, request: WorkRequest) -> dict[str, Any]:
    """Return what the page shows as plain values."""
    charts = [
        {
            "svg": trend_picture(course, desk.zone, barometric=desk.barometric, on_paper=True),
            "alt": course.title,
        }
        for course in request.courses
    ]
    return {**asdict(request), "courses": [], "charts": charts}
