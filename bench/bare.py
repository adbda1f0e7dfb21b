"""The peer of every page: the same framework and server, one indexed read, nothing else."""

import sqlite3
import sys
import threading

import uvicorn
from fastapi import FastAPI


def bare_app(journal: str) -> FastAPI:
    """Return an app with one page that reads one entry of a journal by its id."""
    app = FastAPI(openapi_url=None)
    mine = threading.local()

    def connection() -> sqlite3.Connection:
        if not hasattr(mine, "connection"):
            mine.connection = sqlite3.connect(journal)
        return mine.connection

    @app.get("/entry/{entry_id}")
    def entry(entry_id: str) -> dict[str, object]:
        query = "SELECT tag, point, value, seen_at FROM entries WHERE id = ?"
        tag, point, value, seen_at = connection().execute(query, (entry_id,)).fetchone()
        return {"tag": tag, "point": point, "value": value, "seen_at": seen_at}

    return app


if __name__ == "__main__":
    uvicorn.run(
        bare_app(sys.argv[1]),
        host="127.0.0.1",
        port=int(sys.argv[2]),
        log_level="warning",
        access_log=False,
        server_header=False,
        timeout_keep_alive=30,
    )
