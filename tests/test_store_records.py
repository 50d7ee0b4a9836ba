"""Records in the store: one signature of many at once, export verifies, erasure is for good."""

import datetime
import threading
from collections.abc import Iterator

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from sqlalchemy import Engine
from sqlalchemy.orm import Session

from viewer.signoff.keys import Signer, fingerprint
from viewer.signoff.personal import conceal
from viewer.signoff.verify import verify
from viewer.store.database import engine_for, migrate
from viewer.store.erasing import erase
from viewer.store.jobs import JobStore
from viewer.store.records import AlreadySignedError, RecordStore
from viewer.store.tables import OfferRow

AT = "2026-11-21T18:30:00Z"


@pytest.fixture
def engine(database_url: str) -> Iterator[Engine]:
    engine = engine_for(database_url)
    migrate(engine)
    yield engine
    engine.dispose()


@pytest.fixture
def job_id(engine: Engine) -> str:
    store = JobStore(engine=engine, now=lambda: datetime.datetime(2026, 11, 20, tzinfo=datetime.UTC))
    return store.add({"name": "Wall (invented)"}).id


@pytest.fixture
def records(engine: Engine) -> RecordStore:
    return RecordStore(engine=engine, signer=Signer(Ed25519PrivateKey.generate()))


def add_offer(engine: Engine, job_id: str, *, revoked: bool = False) -> str:
    with Session(engine) as session, session.begin():
        session.add(
            OfferRow(
                id="offer",
                job_id=job_id,
                document="{}",
                made_at=AT,
                expires_at=AT,
                revoked_at=AT if revoked else None,
            )
        )
    return "offer"


def test_what_is_appended_is_exported_and_verifies(records: RecordStore, job_id: str) -> None:
    client = conceal("B. Client (invented)")
    records.append(job_id, stage="offer", at=AT, sections={"job": {"gap_mm": 14}})
    records.append(
        job_id,
        stage="signature",
        at=AT,
        sections={"client": {"personal": client.reference}},
        personal=(client,),
    )
    verdict = verify(records.export(job_id), key=fingerprint(records.signer.public))
    assert verdict.words == "intact, signed by the given key"
    assert (verdict.entries, verdict.erased) == (2, ())
    assert erase(records.engine, job_id).values == 1
    assert b"B. Client" not in records.export(job_id)
    assert verify(records.export(job_id)).erased == (client.reference,)


def test_of_many_signatures_at_once_one_stands(engine: Engine, records: RecordStore, job_id: str) -> None:
    offer = add_offer(engine, job_id)
    outcomes: list[str] = []

    def sign(number: int) -> None:
        try:
            records.append(
                job_id, stage="signature", at=AT, sections={"choice": {"finish": str(number)}}, offer_id=offer
            )
            outcomes.append("signed")
        except AlreadySignedError:
            outcomes.append("refused")

    threads = [threading.Thread(target=sign, args=(number,)) for number in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(outcomes) == ["refused"] * 7 + ["signed"]
    assert len(records.entries(job_id)) == 1
    assert verify(records.export(job_id)).intact


def test_a_revoked_or_unknown_offer_cannot_be_signed(
    engine: Engine, records: RecordStore, job_id: str
) -> None:
    offer = add_offer(engine, job_id, revoked=True)
    for name in (offer, "another"):
        with pytest.raises(AlreadySignedError):
            records.append(job_id, stage="signature", at=AT, sections={}, offer_id=name)
    assert records.entries(job_id) == ()
