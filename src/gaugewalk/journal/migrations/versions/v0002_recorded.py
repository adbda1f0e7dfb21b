"""Find what was recorded since a time at once, whatever the clock was set to in between."""

from alembic import op

revision = "0002"
down_revision = "0001"

# INSERT OR REPLACE removes the row that is in its way without asking the trigger on DELETE.
_REFUSE = """CREATE TRIGGER entries_no_REPLACE BEFORE INSERT ON entries
    WHEN EXISTS (SELECT 1 FROM entries WHERE seq = NEW.seq)
      OR EXISTS (SELECT 1 FROM entries WHERE id = NEW.id)
    BEGIN SELECT RAISE(ABORT, 'The journal is append-only: that entry is there already.'); END"""


def upgrade() -> None:
    """Add the index, and in SQLite the trigger that refuses to put an entry over another."""
    op.create_index("entries_recorded", "entries", ["recorded_at", "seq"])
    if op.get_bind().dialect.name == "sqlite":
        op.execute(_REFUSE)
