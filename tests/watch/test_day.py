"""One whole day at the condensate pump, through every use case, as a person would live it."""

from gaugewalk.judge.severity import Severity

from .watch_day import Day

VALE, MARSH = "r. vale", "s. marsh"
HEALTHY = {
    "suction_pressure": "0.4",
    "discharge_pressure": "3.1",
    "motor_current": "31 A",
    "leak_off": "40",
}


def walk(day: Day, hours: float, who: str, **changed: str) -> str:
    """Walk the boiler house; return the round's id."""
    view = day.watch.start_round("boiler house", who=who, now=day.at(hours))
    for stop in view.stops:
        for n, point in enumerate(stop.points):
            at = hours + 0.01 * (n + 1)
            if stop.pump.tag == "C1B":
                day.watch.skip("C1B", point.point, "standing, gauge shut", who=who, now=day.at(at))
            else:
                text = changed.get(point.point, HEALTHY[point.point])
                day.read(at, text, point=point.point, who=who, round_id=view.id)
    day.watch.finish_round(view.id, who=who, now=day.at(hours + 0.2))
    return view.id


def test_a_whole_day(day: Day) -> None:
    for n in range(40):  # ten days of a healthy pump before
        walk(day, -240 + 6 * n, MARSH, discharge_pressure=f"{3.08 + 0.02 * (n % 3):.2f}")
    day.watch.event("C1B", "stopped", who=MARSH, now=day.at(-1))
    day.watch.note(
        "C1B",
        "Key of the local panel is with the shift lead",
        who=MARSH,
        now=day.at(-1),
        standing=True,
    )

    # The morning is calm, the round is due, and the band beside the field is this pump's own.
    morning = day.watch.this_watch(day.at(0.1))
    assert morning.troubles == ()
    assert next(r for r in morning.rounds if r.name == "boiler house").due_at == day.at(0)
    view = day.watch.pump_page("C1A", day.at(0.1))
    pressure = next(p for p in view.points if p.point == "discharge_pressure")
    assert pressure.expected is not None
    assert pressure.expected.source == "own normal"
    assert len(pressure.history) == 40
    walk(day, 0.2, VALE)
    assert day.watch.this_watch(day.at(0.5)).troubles == ()

    # At ten o'clock the pressure has fallen and the needle swings: one trouble, with checks.
    walk(
        day,
        4,
        VALE,
        discharge_pressure="1.9 to 2.6 barg",
        motor_current="24 to 30 A",
        suction_pressure="0.12",
    )
    (line,) = day.watch.troubles(day.at(4.3))
    assert line.severity in (Severity.ACT, Severity.STOP)
    before = day.watch.trouble(line.id, day.at(4.3))
    assert len(before.diagnosis.next_checks) > 0
    day.watch.observe("C1A", "vent-gives-gas", True, who=VALE, now=day.at(4.4))
    day.watch.observe("C1A", "gland-smoke", False, who=VALE, now=day.at(4.4))
    ranked = [c.cause for c in day.watch.trouble(line.id, day.at(4.5)).diagnosis.causes]
    assert ranked != [c.cause for c in before.diagnosis.causes]

    # Something is done; what must come back to what is asked for, and answered.
    wedge = day.watch.act(
        "C1A",
        line.id,
        "Throttled the discharge a little",
        kind="temporary",
        who=VALE,
        now=day.at(4.6),
    )
    due = day.watch.add_follow_up(
        "C1A",
        "Pressure steady over 2.8 barg",
        day.at(5.5),
        who=VALE,
        now=day.at(4.6),
        point="discharge_pressure",
    )
    text = day.watch.handover_text(day.at(7.9))
    for told in (
        "C1A",
        "Throttled the discharge a little",
        "OVERDUE C1A Condensate pump A: Pressure steady",
        "C1B Condensate pump B: Discharge pressure: standing, gauge shut",
        "Key of the local panel",
    ):
        assert told in text, told
    day.watch.answer_follow_up(str(due.id), "still swings", who=VALE, now=day.at(7.95))

    # The next shift finds the cause, takes the remedy back, proves it and closes.
    assert day.watch.this_watch(day.at(8.1)).shift_began_at == day.at(8)
    day.watch.act(
        "C1A",
        line.id,
        "Suction flange tightened by maintenance, vented",
        kind="cure",
        who=MARSH,
        now=day.at(9),
    )
    day.watch.act(
        "C1A", line.id, "Discharge opened again", ends=wedge.id, who=MARSH, now=day.at(9.1)
    )
    for hours, text in ((9.2, "3.08"), (9.5, "3.1"), (9.8, "3.12"), (10.1, "3.09"), (10.4, "3.1")):
        proof = day.read(hours, text, who=MARSH)
    assert proof.verdict.severity is Severity.NORMAL
    day.watch.close_trouble(
        line.id,
        cause="air through the suction flange",
        cure="flange tightened",
        proof=proof.entry.id,
        who=MARSH,
        now=day.at(11),
    )
    walk(day, 12.1, MARSH)
    evening = day.watch.this_watch(day.at(12.5))
    assert (evening.troubles, evening.follow_ups) == ((), ())
    closed = day.watch.trouble(line.id, day.at(12.5))
    assert closed.closed_at == day.at(11)
    assert [e.kind for e in closed.timeline].count("observation") == 2

    # Everything that was shown follows from the journal, and the journal is whole.
    states = day.watch.journal.load_states("")
    day.watch.rebuild()
    assert day.watch.journal.load_states("") == states
    assert day.watch.journal.verify().ok
