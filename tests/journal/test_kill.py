"""A record that was acknowledged outlives the sudden death of the program that stored it.

The longer run, a thousand deaths for each database, is `python -m bench.faults`.
"""

from .killing import kill_writers

KILLS = 40


def test_no_acknowledged_record_is_lost_when_its_writer_is_killed(place: str) -> None:
    after = kill_writers(place, KILLS)
    assert after.acknowledged > KILLS  # each one did write
    assert (after.lost, after.doubled, after.faults) == ((), (), ())
    assert after.stored >= after.acknowledged
