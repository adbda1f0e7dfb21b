"""Whatever is in the file: a plant, or problems that can be read. Never another exception."""

from pathlib import Path

from hypothesis import example, given, settings
from hypothesis import strategies as st

from gaugewalk.plant.plant_file import check_plant_text

TEXT = Path(__file__).with_name("works.toml").read_text("utf-8")
LINES = TEXT.split("\n")

SCALARS = st.one_of(
    st.sampled_from(
        [
            "true", "1", "-1", "0", "1e400", "-inf", "nan", "9" * 400, '""', '"-5 barg"', '"1 K"',
            "[]", "{}", "[[]]", "[true]", '["a", 1]', "1979-05-27", "07:32:00", '"0 m"', '"1e99 m"',
            "{ a = 1 }", "[{ a = 1 }]", '"packing"', '"\\u0000"', "0x10", "[nan, inf]",
        ]
    ),
    st.floats().map(repr),
    st.text(max_size=12).map(lambda text: repr(text)),
)  # fmt: skip


def holds(text: str) -> None:
    plant, problems = check_plant_text(text, "fuzz.toml")
    assert (plant is None) == any(problem.grave for problem in problems)
    lines = text.count("\n") + 1
    for problem in problems:
        assert str(problem)
        assert problem.line is None or 1 <= problem.line <= lines


@settings(max_examples=60, deadline=None)
@given(st.integers(0, len(LINES) - 1), SCALARS)
@example(21, "1e400")
def test_any_value_at_any_key(number: int, value: str) -> None:
    key, equals, _ = LINES[number].partition(" = ")
    changed = [*LINES]
    changed[number] = f"{key} = {value}" if equals else value
    holds("\n".join(changed))


@settings(max_examples=60, deadline=None)
@given(st.lists(st.integers(0, len(LINES) - 1), min_size=1, max_size=8))
def test_any_lines_left_out(numbers: list[int]) -> None:
    holds("\n".join(line for number, line in enumerate(LINES) if number not in numbers))


@settings(max_examples=60, deadline=None)
@given(st.integers(0, len(TEXT)), st.integers(0, 40), st.text(max_size=8))
def test_any_cut_and_any_insertion(start: int, length: int, text: str) -> None:
    holds(TEXT[:start] + text + TEXT[start + length :])


@settings(max_examples=150, deadline=None)
@given(st.text(max_size=200))
@example("\x00")
@example("[plant]\nname = '''x\n'''\n[[pump]]\n[[pump.point]]")
@example("plant.name = 'x'\npump = [{}]\nround = [{ tags = [''] }]")
@example("[[pump]]\n[[pump.bearing]]\n[pump.liquid.table]\ntemperature = [1, 2]")
@example("a" * 10 + "." + "b = 1")
@example("\ud800")
def test_any_text(text: str) -> None:
    holds(text)


@settings(max_examples=80, deadline=None)
@given(st.lists(st.sampled_from(sorted(set(LINES))), max_size=25))
def test_any_shuffle_of_its_own_lines(lines: list[str]) -> None:
    holds("\n".join(lines))
