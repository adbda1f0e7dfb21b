"""Set a document as PDF: a template of ours, the data beside it, the typesetter where installed.

The data go in as one JSON text and are only ever shown; nothing in them becomes markup.
"""

import json
from collections.abc import Mapping
from datetime import datetime
from pathlib import Path
from typing import Any

from gaugewalk.errors import ArgumentError, extra

TEMPLATES = Path(__file__).with_name("typeset")
PAPERS = ("a4", "us-letter")
FOOTER = (
    "Site procedures, local codes and licensed practice come first. "
    "Nothing here says that something is safe."
)


def make_pdf(template: str, data: Mapping[str, Any], *, now: datetime, paper: str = "a4") -> bytes:
    """Set a document.

    Parameters
    ----------
    template : str
        Name of a file in `typeset/`, without its ending.
    data : mapping
        Plain values that the template shows.
    now : datetime
        The time that the file bears; the same data at the same time make the same bytes.
    paper : str
        One of `PAPERS`.

    Raises
    ------
    ArgumentError
        The typesetter is not installed, or there is no such paper.
    """
    if paper not in PAPERS:
        raise ArgumentError(f"paper = {paper[:20]!r}; expected one of {', '.join(PAPERS)}.")
    with extra("pdf", "PDF", "take plain text, HTML or JSON"):
        import typst
    given = json.dumps({"paper": paper, "footer": FOOTER, **data}, ensure_ascii=False)
    made = typst.compile(
        TEMPLATES / f"{template}.typ",
        root=TEMPLATES,
        ignore_system_fonts=True,  # what is set here is set alike everywhere
        sys_inputs={"data": given},
        timestamp=int(now.timestamp()),
        pdf_standards=["ua-1"],
    )
    return bytes(made)
