"""The app's own files, at an address that changes when they do.

A page and the scripts it loads belong together: a page kept on a phone asks for the files of its
own version, and a new version never mixes with an old one.
"""

import hashlib
from functools import cache

from gaugewalk.web.door import HERE, TEMPLATES

FOLDER = HERE / "static"


@cache
def version() -> str:
    """Return a short word that stands for the content of every file and every page's template."""
    mark = hashlib.sha256()
    for folder in (FOLDER, HERE / "templates"):
        for file in sorted(path for path in folder.rglob("*") if path.is_file()):
            mark.update(file.relative_to(folder).as_posix().encode())
            mark.update(file.read_bytes())
    return mark.hexdigest()[:12]


def root() -> str:
    """Return the address under which this version's files stand."""
    return f"/static/{version()}"


def shell() -> list[str]:
    """Return the address of every file that a page may load, for the phone to keep."""
    kept = (".js", ".css", ".svg")
    files = sorted(path for path in FOLDER.rglob("*") if path.suffix in kept)
    return [f"{root()}/{path.relative_to(FOLDER).as_posix()}" for path in files]


TEMPLATES.env.globals["static"] = root
TEMPLATES.env.globals["static_version"] = version
