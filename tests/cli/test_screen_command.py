"""`gaugewalk screen` from file to flags, and what it says about a bad record."""

import json

import numpy as np
import pytest
from typer.testing import CliRunner

from gaugewalk.cli.main import app
from gaugewalk.diagnose.knowledge import load_knowledge
from gaugewalk.diagnose.moved import namer
from gaugewalk.judge.screen import screen
from gaugewalk.judge.screen_io import flag_line, read_points, read_record


@pytest.fixture
def record(tmp_path):
    rows = np.arange(400)
    flow = 50 + 0.1 * np.random.default_rng(0).standard_normal(400) - 6.0 * (rows >= 300)
    lines = [
        f"2026-01-01 00:{i // 60:02d}:{i % 60:02d};{q:.3f}" for i, q in zip(rows, flow, strict=True)
    ]
    path = tmp_path / "history.csv"
    path.write_text("\n".join(["time;Flow", *lines, lines[-1]]) + "\n", "utf-8")
    return path


def call(*words):
    return CliRunner().invoke(app, ["screen", *map(str, words)])


def test_flags_and_episode(record, tmp_path):
    out = tmp_path / "flags.csv"
    result = call(
        record, "--time", "time", "--point", "Flow=flow:m3/h", "--learn", 200, "--out", out
    )
    assert result.exit_code == 0, result.output
    lines = out.read_text("utf-8").splitlines()
    assert lines[0] == "time,flagged,score,verdict,cause"
    assert len(lines) == 201
    assert [line.split(",")[1] for line in lines[1:95]] == ["0"] * 94
    assert lines[-1].split(",")[1] == "1"
    assert "doubled rows left out: 1" in result.output
    assert "flow low" in result.output
    assert "in 1 episodes" in result.output


def test_command_gives_the_rows_of_the_function(record):
    result = call(record, "--time", "time", "--point", "Flow=flow:m3/h", "--learn", 200, "--json")
    answer = json.loads(result.output)
    points = read_points(["Flow=flow:m3/h"])
    read = read_record(record, "time", points)
    columns = {"Flow": [row[0] for row in read.values]}
    rows = screen(
        columns,
        read.times,
        points,
        learn_rows=200,
        stamps=read.stamps,
        name_cause=namer(load_knowledge()),
    ).rows
    assert [tuple(row.values()) for row in answer["rows"]] == [flag_line(row) for row in rows]
    (episode,) = answer["episodes"]
    assert episode["points"][0]["point"] == "flow"
    assert episode["cause"] in episode["causes"]
    assert answer["record"]["doubled"] == 1


def test_learn_until_a_time(record):
    result = call(
        record, "--time", "time", "--point", "Flow=flow:m3/h", "--learn-until",
        "2026-01-01 00:03:19", "--json",
    )  # fmt: skip
    assert json.loads(result.output)["record"]["learned"] == 200


def test_faults_are_named(record):
    result = call(record, "--time", "tme", "--point", "Flow=flow:m3/h", "--learn", 200)
    assert result.exit_code != 0
    assert "Did you mean 'time'" in str(result.exception)
    result = call(record, "--time", "time", "--point", "Flow=flow:m3/h")
    assert "learn_rows or learn_until" in str(result.exception)
