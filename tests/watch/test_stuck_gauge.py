"""A gauge that has stopped moving is evidence, without anybody having to say so."""

from gaugewalk.watch.case import case_of

from .watch_day import Day, settle


def observations(day: Day, hours: float) -> dict[str, bool]:
    with day.watch.journal.reading() as ledger:
        case = case_of(day.watch.desk, ledger, day.watch.desk.pump("C1A"), day.at(hours))
    return dict(case.observations)


def stuck(day: Day) -> float:
    settle(day, days=10)
    for n in range(12):
        taken = day.read(n, "3.13")
    assert taken.verdict.change == "frozen"
    return 12.0


def test_a_stuck_gauge_is_a_finding(day: Day) -> None:
    settle(day, days=2)
    assert "gauge-stuck" not in observations(day, 1)
    assert observations(day, stuck(day))["gauge-stuck"] is True


def test_it_points_to_the_gauge(day: Day) -> None:
    hours = stuck(day)
    causes = [one.cause for one in day.watch.diagnose_pump("C1A", day.at(hours)).causes[:3]]
    assert {"gauge-faulty", "gauge-line-plugged"} & set(causes), causes


def test_what_a_person_saw_comes_before(day: Day) -> None:
    hours = stuck(day)
    day.watch.observe("C1A", "gauge-stuck", False, who="r. vale", now=day.at(hours))
    assert observations(day, hours + 1)["gauge-stuck"] is False
