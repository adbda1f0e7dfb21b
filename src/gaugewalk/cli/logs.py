"""How a server tells what it does: one JSON object a line, for whatever collects logs."""

import json
import logging
import sys
from datetime import UTC, datetime


class JsonLines(logging.Formatter):
    """Writes one record as one line. No names and no addresses are ever put into a record."""

    def format(self, record: logging.LogRecord) -> str:
        """Return the line."""
        said = {
            "time": datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds"),
            "level": record.levelname.lower(),
            "from": record.name,
            "what": record.getMessage(),
            **getattr(record, "fields", {}),
        }
        if record.exc_info:
            said["trace"] = self.formatException(record.exc_info)
        return json.dumps(said, ensure_ascii=False)


def set_up_logs(*, as_json: bool) -> None:
    """Log to standard error: warnings as text, or everything as JSON lines."""
    handler = logging.StreamHandler(sys.stderr)
    formatter = JsonLines() if as_json else logging.Formatter("%(levelname)s %(name)s: %(message)s")
    handler.setFormatter(formatter)
    root = logging.getLogger()
    root.handlers[:] = [handler]
    root.setLevel(logging.INFO if as_json else logging.WARNING)
    for chatty in ("alembic", "sqlalchemy"):
        logging.getLogger(chatty).setLevel(logging.WARNING)
