"""What a database says, put into what happened to the record and what a person can do."""

from gaugewalk.errors import StorageError

_AGAIN = "Nothing was stored; enter it again in a moment."
_CURES = (  # what the driver says -> what a person can do
    ("lock timeout", f"Another program holds the journal. {_AGAIN}"),
    ("locked", f"Another program holds the journal. {_AGAIN}"),
    ("busy", f"Another program holds the journal. {_AGAIN}"),
    ("queuepool", f"Too much is asked of the journal at once. {_AGAIN}"),
    ("slots", f"Too many programs use the database. {_AGAIN}"),
    ("too many", f"Too many programs use the database. {_AGAIN}"),
    ("no space left", "The disk is full. Nothing was stored; free some space and enter it again."),
    ("is full", "The disk is full. Nothing was stored; free some space and enter it again."),
    ("readonly", "The journal's file or folder may not be written. Give this user the right to."),
    ("read-only", "The database takes no records: it may be a standby. Name the one that does."),
    ("unable to open", "The file or its folder is missing or may not be opened; see the path."),
    (
        "disk i/o",
        "The disk reports an error. Nothing was stored; is it full, or broken?",
    ),
    ("malformed", "The file is damaged. Keep it aside and put the last backup in its place."),
    ("not a database", "The file is no journal. Name another file, or restore the last backup."),
    ("append-only", "Records are never changed. Add a correction; both stay."),
    ("permission denied", "This user may not do that. Give it the right to make and fill tables."),
    ("password", "The database refuses this user. Put the password in ~/.pgpass or PGPASSWORD."),
    ("does not exist", "Make it first, as with createdb and createuser, or see the URL."),
    ("terminat", f"The database was stopped. {_AGAIN}"),
    ("shutting down", f"The database is being stopped. {_AGAIN}"),
    ("starting up", f"The database is just starting. {_AGAIN}"),
    ("recovery mode", f"The database is just starting. {_AGAIN}"),
    ("connection", f"The database does not answer; see that it runs. {_AGAIN}"),
)
_CERTAIN = ("is full", "locked", "busy")  # said at the end of a transaction: it was not stored


class UnsureError(StorageError):
    """The journal broke off while it stored: the records may be in it or not."""


def storage_error(
    doing: str, error: Exception, *, ending: bool = False, what: str = "The journal"
) -> StorageError:
    """Turn what the driver says into what happened and what to do.

    Parameters
    ----------
    doing : str
        What the journal could not do, as in "store this".
    error : Exception
        What the driver raised.
    ending : bool
        Whether the transaction was just being ended. What breaks off there may have been stored
        or not, which nobody can know from here.
    what : str
        What failed.
    """
    said = _first_line(error)
    low = said.lower()
    if ending and not any(word in low for word in _CERTAIN):
        return UnsureError(
            f"{what} broke off while it stored this: {said}. Whether it is stored is not "
            "known. Look for it, or send it again with the same id: it is never stored twice."
        )
    cure = next((cure for word, cure in _CURES if word in low), "Nothing was stored; try again.")
    return StorageError(f"{what} could not {doing}: {said}. {cure}")


def _first_line(error: Exception) -> str:
    """Return what was said first; databases add hints and positions on further lines."""
    said = str(getattr(error, "orig", None) or error).strip()
    return said.partition("\n")[0].strip().rstrip(".")
