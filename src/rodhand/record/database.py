"""The book's SQLite file: how it is opened, kept safe on disk, and brought up to date."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import sqlalchemy as sa
from sqlalchemy.pool import NullPool, StaticPool

from rodhand.faults import CannotReadError, DamagedError
from rodhand.record.migrations import FOLDER, NEWEST

FILE_NAME = "journal.sqlite"
WAIT_FOR_LOCK = 20.0
"""How long one writer waits for another before it gives up. [s]"""

METADATA = sa.MetaData()
ENTRIES = sa.Table(
    "entries",
    METADATA,
    sa.Column("arrival", sa.Integer, primary_key=True),
    *(sa.Column(name, sa.Text) for name in ("id", "happened", "zone", "entered", "device")),
    sa.Column("counter", sa.Integer),
    *(sa.Column(name, sa.Text) for name in ("by", "kind", "payload", "previous", "hash")),
)
PEOPLE = sa.Table(
    "people", METADATA, sa.Column("key", sa.Text, primary_key=True), sa.Column("name", sa.Text)
)
BOOK = sa.Table("book", METADATA, sa.Column("id", sa.Text, primary_key=True))
DEVICE = sa.Table(
    "device",
    METADATA,
    *(sa.Column(name, sa.Text, primary_key=name == "id") for name in ("id", "place", "since")),
)


def writer(file: Path) -> sa.Engine:
    """The one writing connection to a file, which is made if missing.

    Every transaction takes the write lock at its start, so two programs on one book wait for
    each other instead of failing half-way.
    """
    engine = sa.create_engine(
        "sqlite://", creator=lambda: _connect(file, "rwc", _DURABLE), poolclass=StaticPool
    )

    @sa.event.listens_for(engine, "begin")
    def _lock(connection: sa.Connection) -> None:
        connection.exec_driver_sql("BEGIN IMMEDIATE")

    return engine


def reader(file: Path) -> sa.Engine:
    """Connections that can only read.

    The file is opened for writing where the system allows it, because reading after a crash may
    first have to roll an unfinished write back; on a read-only disk SQLite reads it as it is.
    """
    return sa.create_engine(
        "sqlite://", creator=lambda: _connect(file, "rw", ("query_only=ON",)), poolclass=NullPool
    )


def watched(engine: sa.Engine, file: Path) -> sqlite3.Connection:
    """The one connection of a writer, or a lasting one to read: it tells what others commit."""
    if isinstance(engine.pool, StaticPool):
        raw = engine.raw_connection()
        try:
            held = raw.driver_connection
        finally:
            raw.close()  # gives it back to the pool, which keeps it open
        assert isinstance(held, sqlite3.Connection)
        return held
    return _connect(file, "rw", ("query_only=ON",))


_DURABLE = ("journal_mode=DELETE", "synchronous=EXTRA", "fullfsync=ON", "secure_delete=ON")
# A rollback journal with EXTRA and not WAL: SQLite before 3.51.3 has a reported fault when two
# connections write and checkpoint a WAL at once. secure_delete: a removed name is gone.


def _connect(file: Path, mode: str, pragmas: tuple[str, ...]) -> sqlite3.Connection:
    connection = sqlite3.connect(
        f"{file.resolve().as_uri()}?mode={mode}",
        uri=True,
        timeout=WAIT_FOR_LOCK,
        isolation_level=None,
        check_same_thread=False,
    )
    for pragma in pragmas:
        connection.execute(f"PRAGMA {pragma}").close()
    return connection


_SIGNS_OF_DAMAGE = (
    "malformed", "not a database", "unsupported file format", "could not decode to utf-8",
    "no such table", "no such column", "no such collation", "corrupt",
)  # fmt: skip
"""What the store says, in small letters, of a file that is not as it was written."""


@contextmanager
def told_plainly(file: Path) -> Iterator[None]:
    """Turn what the store or the system says into `CannotReadError`; damage is `DamagedError`."""
    try:
        yield
    except sa.exc.DBAPIError as error:
        raise _told(file, error.orig or error) from error
    except UnicodeDecodeError as error:  # what the store says of a damaged schema is no text
        raise DamagedError(str(file), error.object.decode("utf-8", "replace")) from error
    except (sqlite3.Error, OSError) as error:
        raise _told(file, error) from error


def _told(file: Path, error: BaseException) -> CannotReadError:
    text = (getattr(error, "strerror", None) if isinstance(error, OSError) else None) or str(error)
    damaged = not isinstance(error, OSError) and any(
        sign in text.casefold() for sign in _SIGNS_OF_DAMAGE
    )
    return (DamagedError if damaged else CannotReadError)(str(file), text)


def form_of(engine: sa.Engine) -> str:
    """The step the file stands at; empty for a new file. Never writes."""
    with engine.connect() as connection:
        raw = connection.connection.dbapi_connection
        assert raw is not None
        return _form(raw)


def _form(raw: Any) -> str:
    tables = raw.execute("SELECT name FROM sqlite_master WHERE name = 'alembic_version'").fetchall()
    rows = raw.execute("SELECT version_num FROM alembic_version").fetchall() if tables else []
    return str(rows[0][0]) if rows else ""


def pending(file: Path) -> tuple[str, ...]:
    """Steps the file still needs, oldest first. Never writes.

    Parameters
    ----------
    file : Path
        The book's file; a missing file needs every step.

    Returns
    -------
    tuple of str
        Names of the steps.

    Raises
    ------
    CannotReadError
        If the file cannot be read or comes from a newer version.
    """
    with told_plainly(file):
        form = form_of(reader(file)) if file.exists() else ""
    if form == NEWEST:
        return ()
    steps = _steps()
    if not form:
        return steps
    if not (len(form) == len(NEWEST) and form.isdigit()):
        raise DamagedError(str(file), f"it has no form that was ever written ({form[:20]!r})")
    if form not in steps:
        raise CannotReadError(str(file), f"it was written by a newer version (form {form})")
    return steps[steps.index(form) + 1 :]


def bring_up_to_date(engine: sa.Engine, file: Path) -> None:
    """Run the pending steps, each in one transaction together with the note that it ran."""
    if not pending(file):
        return
    from alembic import command

    config = _config()
    try:
        with engine.connect() as connection:
            config.attributes["connection"] = connection
            command.upgrade(config, "head")
    except sa.exc.DBAPIError:
        if pending(file):  # else another program ran the same steps while we waited
            raise


def _config() -> Any:
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(FOLDER).replace("%", "%%"))
    return config


def _steps() -> tuple[str, ...]:
    from alembic.script import ScriptDirectory

    revisions = ScriptDirectory.from_config(_config()).walk_revisions()
    return tuple(reversed([revision.revision for revision in revisions]))
