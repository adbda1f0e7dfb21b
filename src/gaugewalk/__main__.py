"""Let ``python -m gaugewalk`` do what the command ``gaugewalk`` does."""

from gaugewalk.cli.main import run

run()
