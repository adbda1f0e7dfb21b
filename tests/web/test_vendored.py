"""Libraries of others are as published: the file is the one whose sum stands in VENDORED.md."""

import hashlib
import re
from pathlib import Path

import pytest

import gaugewalk.web

FOLDERS = (
    Path(gaugewalk.web.__file__).parent / "static" / "vendor",
    Path(__file__).parents[1] / "browser" / "vendor",
)
ROW = re.compile(
    r"\| `(\S+?)` \| .+? \| (\d+\.\d+\.\d+) \| .+? \| .+?\(`(\S+?)`\) \| `([0-9a-f]{64})` \|"
)


@pytest.mark.parametrize("folder", FOLDERS, ids=["pages", "tests"])
def test_every_vendored_file_is_recorded_and_unchanged(folder: Path) -> None:
    rows = ROW.findall((folder / "VENDORED.md").read_text(encoding="utf-8"))
    assert {name for name, *_ in rows} == {file.name for file in folder.glob("*.js")}
    for name, _, license_file, wanted in rows:
        assert hashlib.sha256((folder / name).read_bytes()).hexdigest() == wanted
        assert (folder / license_file).stat().st_size > 100
