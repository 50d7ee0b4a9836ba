"""Signing an offer: what the client filled in becomes one entry of the record, or a list of problems."""

import base64
import binascii
import datetime
from collections.abc import Sequence
from dataclasses import dataclass

from pydantic import ValidationError

from viewer import uploads
from viewer.clock import utc_now
from viewer.job.reading import Problem
from viewer.pages.offered import Offered, sha256
from viewer.services import services
from viewer.signoff.chain import Entry, Stage
from viewer.signoff.offer import Choice, choice_problems
from viewer.signoff.sections import signed
from viewer.signoff.standing import last_signed
from viewer.store.jobs import SavedMeanwhileError, moment

PNG_URI = "data:image/png;base64,"
LONGEST_NAME = 120


@dataclass(frozen=True, slots=True, kw_only=True)
class Filled:
    """What the client filled in, as typed. ``drawn`` : a data address of a PNG, or empty."""

    finish: str
    name: str
    signed_on: str
    off_cut: str
    ticked: Sequence[str]
    seen_by_day: bool
    seen_under_lamps: bool
    drawn: str = ""
    paper: bytes = b""


def sign(on: Offered, filled: Filled) -> tuple[Entry | None, list[Problem]]:
    """The new entry, or every problem. Raises ``AlreadySignedError`` when there is nothing left to sign."""
    problems: list[Problem] = []
    name = " ".join(filled.name.split())
    if not 1 <= len(name) <= LONGEST_NAME:
        problems.append(("name", f"expected your name, at most {LONGEST_NAME} characters"))
    _date(on, filled.signed_on, problems)
    drawn = _drawn(filled.drawn, problems)
    paper = _paper(filled.paper, problems)
    finishes = dict(on.finishes)
    label = filled.finish if filled.finish in finishes else on.offer.finishes[0]
    if filled.finish not in finishes:
        problems.append(("finish", "choose one of the finishes"))
    choice = _choice(on, filled, label, drawn, paper, problems)
    if problems or choice is None:
        return None, _once(problems)
    store = services().store
    photo = store.photos.add(on.stored.job_id, "signed_sheet", paper, "image/jpeg") if paper else None
    before = last_signed(store.records.entries(on.stored.job_id))
    stage: Stage = "variation" if before else "signature"
    sections, personal = signed(
        on.document,
        on.offer,
        choice,
        on.facts(finishes[label]),
        client=name,
        drawn=base64.b64encode(drawn).decode() if drawn else None,
        remarks=[remark.words for remark in store.offers.remarks(on.stored.id)],
    )
    if photo is not None:
        sections["paper"] = {"photo": photo.id, "sha256": photo.sha256}
    entry = store.records.append(
        on.stored.job_id,
        stage=stage,
        at=moment(utc_now()),
        sections=sections,
        personal=personal,
        supersedes=before.place if before else None,
        offer_id=on.stored.id,
    )
    _choose(on, label)
    return entry, []


def _choose(on: Offered, label: str) -> None:
    """Make the signed finish the job's chosen one, so that quantities and pack follow the signature."""
    wanted = dict(on.finishes)[label].model_dump(mode="json", exclude_defaults=True)
    jobs = services().store.jobs
    for _try in range(5):
        job = jobs.get(on.stored.job_id, deleted_too=True)
        if job.document.get("finish") == wanted:
            return
        try:
            jobs.save(job.id, {**job.document, "finish": wanted}, revision=job.revision)
        except SavedMeanwhileError:
            continue
        return


def _date(on: Offered, given: str, problems: list[Problem]) -> None:
    made = datetime.date.fromisoformat(on.stored.made_at[:10])
    # a day on either side: the client's day may be another one than that of UTC
    first, last = made - datetime.timedelta(days=1), utc_now().date() + datetime.timedelta(days=1)
    try:
        day = datetime.date.fromisoformat(given)
    except ValueError:
        day = datetime.date.min
    if not first <= day <= last:
        problems.append(("signed_on", f"expected a date from {first} to {last}, as YYYY-MM-DD"))


def _drawn(given: str, problems: list[Problem]) -> bytes | None:
    if not given:
        return None
    try:
        if not given.startswith(PNG_URI):
            raise ValueError("no PNG")
        return uploads.signature(base64.b64decode(given.removeprefix(PNG_URI), validate=True))
    except uploads.UploadError as error:
        problems.append(("drawn", str(error)))
    except (binascii.Error, ValueError):
        problems.append(("drawn", "expected a signature drawn in the field"))
    return None


def _paper(given: bytes, problems: list[Problem]) -> bytes | None:
    if not given:
        return None
    try:
        return uploads.photo(given)
    except uploads.UploadError as error:
        problems.append(("paper", str(error)))
        return None


def _choice(
    on: Offered,
    filled: Filled,
    label: str,
    drawn: bytes | None,
    paper: bytes | None,
    problems: list[Problem],
) -> Choice | None:
    try:
        choice = Choice(
            finish=label,
            off_cut=filled.off_cut.strip(),
            seen_by_day=filled.seen_by_day,
            seen_under_lamps=filled.seen_under_lamps,
            ticked=tuple(filled.ticked),
            signed_on=filled.signed_on,
            drawn=sha256(drawn) if drawn else None,
            paper=sha256(paper) if paper else None,
        )
    except ValidationError as error:
        words = {
            "off_cut": "expected the number on the back of the off-cut, at most 60 characters",
            "signed_on": "expected a date as YYYY-MM-DD",
        }
        for detail in error.errors(include_url=False):
            field = str(detail["loc"][0])
            problems.append((field, words.get(field, detail["msg"])))
        return None
    problems += choice_problems(on.offer, choice)
    return choice


def _once(problems: list[Problem]) -> list[Problem]:
    """One problem a field but for the ticked lines, the first that was found."""
    found: dict[str, str] = {}
    several = [problem for problem in problems if problem[0].startswith("ticked")]
    for path, message in problems:
        if not path.startswith("ticked"):
            found.setdefault(path, message)
    return [*found.items(), *several]
