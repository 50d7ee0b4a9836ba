"""How often something was tried, counted in the store: every process that serves counts along.

::

    key             count   until
    sha256(...)         3   the moment at which the count begins again

Of an address only the SHA-256 is kept, and a row goes once its time is over.
"""

import hashlib
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlalchemy import Engine, case, delete, or_
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.orm import Session

from viewer.store.jobs import moment
from viewer.store.tables import TryRow


@dataclass(frozen=True, slots=True, kw_only=True)
class TryStore:
    """Tries of one database."""

    engine: Engine
    now: Callable[[], datetime]

    def take(self, key: str, *, most: int, per_s: float) -> bool:
        """Count one try of ``key``; False when it is more than ``most`` within ``per_s`` seconds.

        Counting and asking are one statement, so tries at the same moment cannot slip past together.
        """
        now = self.now()
        present, until = moment(now), moment(now + timedelta(seconds=per_s))
        # a clock that was set back leaves an end far ahead: that count begins again too. Twice the time,
        # since requests of one moment do not arrive here in the order of their moments
        far = moment(now + timedelta(seconds=2 * per_s))
        over = or_(TryRow.until < present, TryRow.until > far)
        insert = postgresql.insert if self.engine.dialect.name == "postgresql" else sqlite.insert
        counted = (
            insert(TryRow)
            .values(key=_hash(key), count=1, until=until)
            .on_conflict_do_update(
                index_elements=[TryRow.key],
                set_={
                    "count": case((over, 1), else_=TryRow.count + 1),
                    "until": case((over, until), else_=TryRow.until),
                },
            )
            .returning(TryRow.count)
        )
        with Session(self.engine) as session, session.begin():
            count = session.execute(counted).scalar_one()
            if count == 1:
                session.execute(delete(TryRow).where(TryRow.until < present))
        return count <= most

    def forget(self, key: str) -> None:
        """Begin again with a key."""
        with Session(self.engine) as session, session.begin():
            session.execute(delete(TryRow).where(TryRow.key == _hash(key)))


def _hash(key: str) -> str:
    return hashlib.sha256(key.encode()).hexdigest()
