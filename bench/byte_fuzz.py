"""Bytes without end into one reader of files: `python -m bench.byte_fuzz plant`.

It needs atheris, which finds its way by what was executed; it is no dependency of ours:
`pip install atheris`. What stands after the name goes to it, as in -max_total_time=1200. Anything
but our own errors is kept in the folder `byte-fuzz` beside the system's temporary files, once for
each place in the code, and it goes on. What it found stands in the tests of each reader.
"""

import copy
import json
import sys
import tempfile
import traceback
from collections.abc import Callable, Iterator
from contextlib import suppress
from datetime import timedelta
from pathlib import Path
from typing import Any

import atheris

with atheris.instrument_imports(include=["gaugewalk", "tomllib"]):
    from gaugewalk.diagnose.case_file import read_case_text
    from gaugewalk.diagnose.diagnosis import diagnose
    from gaugewalk.diagnose.knowledge import load_knowledge
    from gaugewalk.errors import GaugewalkError
    from gaugewalk.judge.screen_io import read_points, read_record
    from gaugewalk.plant.plant_file import load_plant
    from gaugewalk.watch.service import Watch

from tests.watch.test_imports import ROWS
from tests.watch.watch_day import MORNING

from gaugewalk.journal.store import Journal

TESTS = Path(__file__).parents[1] / "tests"
PLANT = TESTS / "watch" / "pair.toml"
FOUND = Path(tempfile.gettempdir()) / "byte-fuzz"
MEMORY = Path("/dev/shm")  # a disk in memory, where there is one
LONGEST = 4000  # bytes
Reader = Callable[[Path], object]

ODD: tuple[Any, ...] = (
    True, 0, -1, 1e308, float("nan"), float("inf"), 10**400, "", "0 barg", "1e999 barg", "-5 barg",
    "nan barg", "1 to 2 barg", "9" * 5000, [], {}, [[]], [{}], {"low": "1 A", "high": "0 A"},
    {"low": 1, "high": []}, "water", "K", "3,1 barg", "-300 degC", "\x00", {"": ""},
)  # fmt: skip
RECORD = "time;a;b\n2026-03-01 06:00;3,1;31\n01.03.2026 06:01:30;3,2;\n1772345000;x;1e3\n"


def read_plant(file: Path) -> object:
    return load_plant(file)


def read_recorded(file: Path) -> object:
    return read_record(file, "time", read_points(["a=discharge_pressure:barg"]))


def case_reader() -> Reader:
    knowledge = load_knowledge()

    def read(file: Path) -> object:
        try:
            text = file.read_text("utf-8")
        except UnicodeDecodeError:
            return None  # the command tells it in its own words
        return diagnose(read_case_text(text, knowledge), knowledge).to_json()

    return read


def import_reader(folder: Path) -> Reader:
    journal = Journal.open(folder / "watch.db")
    watch = Watch(plant=load_plant(PLANT), journal=journal, knowledge=load_knowledge())
    return lambda file: watch.import_csv(file, who="import", now=MORNING + timedelta(days=9))


def shaped(data: bytes, cases: list[Any]) -> bytes:
    """Make a case whose parts are exchanged as the bytes say; bytes as they are seldom are JSON."""
    chance = atheris.FuzzedDataProvider(data)
    if not chance.ConsumeIntInRange(0, 7):
        return data[1:]
    case = copy.deepcopy(chance.PickValueInList(cases))
    for _ in range(chance.ConsumeIntInRange(1, 4)):
        place = chance.PickValueInList(list(_places(case)))
        odd: Any = chance.PickValueInList([*ODD, None])
        text = chance.ConsumeUnicodeNoSurrogates(chance.ConsumeIntInRange(0, 40))
        place[0][place[1]] = text if odd is None else copy.deepcopy(odd)
    return json.dumps(case).encode()


def _places(part: Any) -> Iterator[tuple[Any, Any]]:
    """Each place of a case that something else can be put into, as its owner and key."""
    pairs = list(part.items() if isinstance(part, dict) else enumerate(part))
    for key, value in pairs:
        yield part, key
        if isinstance(value, dict | list):
            yield from _places(value)


def seeds() -> dict[str, list[bytes]]:
    cases = sorted((TESTS / "cases").glob("*.json"))[:30]
    return {
        "plant": [file.read_bytes() for file in (PLANT, TESTS / "watch" / "care.toml")],
        "case": [
            json.dumps(json.loads(file.read_text("utf-8"))["case"]).encode() for file in cases
        ],
        "import": [ROWS.encode()],
        "screen": [RECORD.encode(), RECORD.replace(";", ",").encode()],
    }


def words(texts: list[bytes]) -> str:
    """What stands in the seeds between signs, as a dictionary for the fuzzer."""
    found = {word for text in texts for word in text.replace(b'"', b" ").split()}
    plain = sorted(word.decode() for word in found if word.isascii() and b"\\" not in word)
    return "".join(f'"{word}"\n' for word in plain if word.isprintable())


def kept_once(name: str, data: bytes, error: Exception) -> None:
    """Keep what broke a reader, once for each place in the code."""
    at = traceback.extract_tb(error.__traceback__)[-1]
    file = FOUND / f"{name}-{type(error).__name__}-{Path(at.filename).stem}-{at.lineno}"
    if not file.exists():
        file.write_bytes(data)
        print(f"{file}: {error!r}", flush=True)


def main(name: str, options: list[str]) -> None:
    FOUND.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory(dir=MEMORY if MEMORY.is_dir() else None) as made:
        folder = Path(made)
        corpus = folder / "corpus"
        corpus.mkdir()
        given = seeds()[name]
        for number, seed in enumerate(given):
            (corpus / str(number)).write_bytes(seed)
        (folder / "words").write_text(words(given), "utf-8")
        readers: dict[str, Callable[[], Reader]] = {
            "plant": lambda: read_plant,
            "case": case_reader,
            "import": lambda: import_reader(folder),
            "screen": lambda: read_recorded,
        }
        read, file = readers[name](), folder / "file"

        cases = [json.loads(seed) for seed in given] if name == "case" else []

        def once(data: bytes) -> None:
            data = shaped(data, cases) if cases else data
            file.write_bytes(data)
            try:
                with suppress(GaugewalkError):
                    read(file)
            except Exception as error:
                kept_once(name, data, error)

        first = [f"-dict={folder / 'words'}", f"-max_len={LONGEST}", f"-artifact_prefix={FOUND}/"]
        atheris.Setup([sys.argv[0], *first, *options, str(corpus)], once)
        atheris.Fuzz()


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2:])
