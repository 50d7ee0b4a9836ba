"""Accounts and their sessions, for a program that is reachable from elsewhere.

Passwords are kept as argon2id hashes (RFC 9106) with the library's recommended cost; a session's token as its
SHA-256. Signing out or changing the password ends sessions at once: they live here, not in the cookie. A code
signs one more browser in: once, and within minutes.
"""

import hashlib
import secrets
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta

from argon2 import PasswordHasher
from argon2.exceptions import VerificationError
from sqlalchemy import Engine, delete, select
from sqlalchemy.orm import Session

from viewer.store.jobs import moment
from viewer.store.tables import AccountRow, CodeRow, SessionRow

SESSION_LASTS = timedelta(hours=12)
CODE_LASTS = timedelta(minutes=10)
LEAST_LETTERS, MOST_LETTERS = 12, 200
"""Of a password: long enough to resist guessing (ASVS 5.0, 6.2.1 asks for 8 and advises 15)."""

HASHER = PasswordHasher()
_NOBODY = HASHER.hash(secrets.token_hex(16))
"""Checked for unknown names, so that an answer takes as long whether the name exists or not."""


class PasswordError(ValueError):
    """The password cannot be used; the message says what would be accepted."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SignedIn:
    """One session: since and until when, whether by password or code, and whether it is the one that asks."""

    since: str
    until: str
    way: str
    here: bool


def _hash(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()


@dataclass(frozen=True, slots=True, kw_only=True)
class AccountStore:
    """Accounts of one database."""

    engine: Engine
    now: Callable[[], datetime]

    def any(self) -> bool:
        """Whether anybody could sign in."""
        with Session(self.engine) as session:
            return session.scalar(select(AccountRow.id).limit(1)) is not None

    def set_password(self, name: str, password: str) -> None:
        """Make the account or give it another password; its sessions end. Raises ``PasswordError``."""
        if not LEAST_LETTERS <= len(password) <= MOST_LETTERS:
            raise PasswordError(f"expected {LEAST_LETTERS} to {MOST_LETTERS} characters")
        if password.casefold() == name.casefold() or len(set(password)) < 5:
            raise PasswordError("expected more than the name or a few repeated characters")
        hashed = HASHER.hash(password)
        with Session(self.engine) as session, session.begin():
            row = session.scalar(select(AccountRow).where(AccountRow.name == name))
            if row is None:
                session.add(AccountRow(name=name, password_hash=hashed, made_at=moment(self.now())))
                return
            row.password_hash = hashed
            for ends in (SessionRow, CodeRow):
                session.execute(delete(ends).where(ends.account_id == row.id))

    def sign_in(self, name: str, password: str) -> str | None:
        """A new session's token, or None for a wrong name or password."""
        with Session(self.engine) as session, session.begin():
            row = session.scalar(select(AccountRow).where(AccountRow.name == name))
            try:
                HASHER.verify(row.password_hash if row else _NOBODY, password[:MOST_LETTERS])
            except VerificationError:
                return None
            if row is None:
                return None
            return self._begin(session, row.id, "password")

    def new_code(self) -> str:
        """A code that signs one browser in as the owner, once, within ``CODE_LASTS``. Told this once only.

        Raises ``LookupError`` while there is no account.
        """
        code = secrets.token_urlsafe(18)
        with Session(self.engine) as session, session.begin():
            account = session.scalar(select(AccountRow.id).order_by(AccountRow.id).limit(1))
            if account is None:
                raise LookupError("no account")
            until = moment(self.now() + CODE_LASTS)
            session.add(CodeRow(code_hash=_hash(code), account_id=account, expires_at=until))
        return code

    def sign_in_by_code(self, code: str) -> str | None:
        """A new session's token, or None for a code that is wrong, used or too old. It is used up by this."""
        taken = delete(CodeRow).where(CodeRow.code_hash == _hash(code))
        with Session(self.engine) as session, session.begin():
            row = session.execute(taken.returning(CodeRow.account_id, CodeRow.expires_at)).first()
            if row is None or row.expires_at < moment(self.now()):
                return None
            return self._begin(session, row.account_id, "code")

    def _begin(self, session: Session, account: int, way: str) -> str:
        """A new session; what is over goes on the way."""
        now, token = self.now(), secrets.token_urlsafe(24)
        for over in (SessionRow, CodeRow):
            session.execute(delete(over).where(over.expires_at < moment(now)))
        session.add(
            SessionRow(
                token_hash=_hash(token),
                account_id=account,
                made_at=moment(now),
                expires_at=moment(now + SESSION_LASTS),
                way=way,
            )
        )
        return token

    def signed_in(self, token: str | None) -> bool:
        """Whether a token belongs to a session that has not ended."""
        if not token:
            return False
        with Session(self.engine) as session:
            row = session.get(SessionRow, _hash(token))
            return row is not None and row.expires_at >= moment(self.now())

    def sign_out(self, token: str) -> None:
        """End a session."""
        with Session(self.engine) as session, session.begin():
            session.execute(delete(SessionRow).where(SessionRow.token_hash == _hash(token)))

    def sessions(self, token: str) -> tuple[SignedIn, ...]:
        """Everything that is signed in, the newest first; ``token`` is the session that asks."""
        query = select(SessionRow).where(SessionRow.expires_at >= moment(self.now()))
        with Session(self.engine) as session:
            return tuple(
                SignedIn(
                    since=row.made_at,
                    until=row.expires_at,
                    way=row.way,
                    here=row.token_hash == _hash(token),
                )
                for row in session.scalars(query.order_by(SessionRow.made_at.desc()))
            )

    def sign_out_others(self, token: str) -> None:
        """End every session but this one, and every code that waits."""
        with Session(self.engine) as session, session.begin():
            session.execute(delete(SessionRow).where(SessionRow.token_hash != _hash(token)))
            session.execute(delete(CodeRow))
