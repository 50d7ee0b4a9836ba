"""An offer from what the maker filled in: every problem at once, each with the field that it belongs to."""

import datetime
import string
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from pydantic import ValidationError

from meshes.stills.camera import VIEWS, views
from viewer.job.accepted import listed, nearest, shown
from viewer.job.reading import Problem
from viewer.signoff.agreed import Tolerances
from viewer.signoff.lines import default_lines
from viewer.signoff.offer import Offer, OfferLine, Price

MOST_FINISHES = 3
LONGEST_DAYS = 366
MOST_OWN_LINES = 10


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """What the maker wants to offer, as typed. ``sentences`` by key; an empty one leaves the line out."""

    finishes: Sequence[str]
    lightings: Sequence[str]
    expires: str
    maker: str = ""
    price: str = ""
    currency: str = ""
    tax_included: bool = True
    price_shown: bool = True
    excluded: Sequence[str] = ()
    sentences: Mapping[str, str] | None = None
    own_lines: Sequence[str] = ()
    tolerances: Mapping[str, str] | None = None


def offer_of(
    wish: Wish,
    *,
    job_digest: str,
    known_finishes: Sequence[str],
    known_lightings: Sequence[str],
    walls: int,
    today: datetime.date,
) -> tuple[Offer | None, list[Problem]]:
    """The offer, or None and its problems. Each of the job's walls is seen whole in a picture of its own."""
    problems: list[Problem] = []
    problems += _names("finishes", wish.finishes, known_finishes, MOST_FINISHES)
    problems += _names("lightings", wish.lightings, known_lightings, 4)
    problems += _expiry(wish.expires, today)
    tolerances = _tolerances(wish.tolerances or {}, problems)
    price = _price(wish, problems)
    lines = _lines(wish, problems)
    for number, sentence in enumerate(wish.excluded):
        if len(sentence) > 500:
            problems.append((f"excluded[{number}]", "expected a sentence of at most 500 characters"))
    if len(wish.maker) > 200:
        problems.append(("maker", "expected at most 200 characters"))
    if problems:
        return None, problems
    return Offer(
        maker=wish.maker.strip(),
        job_digest=job_digest,
        finishes=tuple(wish.finishes),
        lightings=tuple(wish.lightings),
        views=("front", *views(walls)[len(VIEWS) :], "close"),
        price=price,
        excluded=tuple(sentence.strip() for sentence in wish.excluded if sentence.strip()),
        lines=lines,
        tolerances=tolerances,
        expires=wish.expires,
    ), []


def _names(field: str, given: Sequence[str], known: Sequence[str], most: int) -> list[Problem]:
    problems = []
    if not 1 <= len(given) <= most:
        problems.append((field, f"expected 1 to {most} of {listed(known, last='and')}"))
    for name in given:
        if name not in known:
            close = nearest(name, known)
            offer = f"; the nearest is {shown(close)}" if close else ""
            problems.append((field, f"the job has no {shown(name)}{offer}"))
    if len(set(given)) != len(given):
        problems.append((field, "expected each name once"))
    return problems


def _expiry(given: str, today: datetime.date) -> list[Problem]:
    last = today + datetime.timedelta(days=LONGEST_DAYS)
    try:
        day = datetime.date.fromisoformat(given)
    except ValueError:
        return [("expires", f"expected a date from {today} to {last}, as YYYY-MM-DD")]
    if not today <= day <= last or given != day.isoformat():
        return [("expires", f"expected a date from {today} to {last}, as YYYY-MM-DD")]
    return []


def _tolerances(given: Mapping[str, str], problems: list[Problem]) -> Tolerances:
    values: dict[str, Any] = {}
    for name in Tolerances.model_fields:
        text = given.get(name, "").strip().replace(",", ".")
        if text:
            try:
                values[name] = int(text) if name == "count" else float(text)
            except ValueError:
                accepted = "a whole number from 0 to 20" if name == "count" else "a number from 0 to 100 mm"
                problems.append((f"tolerances.{name}", f"expected {accepted}, not {shown(text)}"))
    try:
        return Tolerances.model_validate(values)
    except ValidationError as error:
        for detail in error.errors(include_url=False):
            problems.append((f"tolerances.{detail['loc'][0]}", detail["msg"]))
        return Tolerances()


def _price(wish: Wish, problems: list[Problem]) -> Price | None:
    if not wish.price_shown:
        return None
    amount = wish.price.strip().replace(" ", "").replace(",", ".")
    try:
        return Price(amount=amount, currency=wish.currency.strip().upper(), tax_included=wish.tax_included)
    except ValidationError as error:
        fields = {str(detail["loc"][0]) for detail in error.errors()}
        if "amount" in fields:
            problems.append(("price", "expected an amount such as 1840.00, or the price hidden"))
        if "currency" in fields:
            problems.append(("currency", "expected a code of three letters such as EUR (ISO 4217)"))
        return None


def _lines(wish: Wish, problems: list[Problem]) -> tuple[OfferLine, ...]:
    worded = {} if wish.sentences is None else wish.sentences
    lines = []
    for line in default_lines():
        sentence = worded.get(line.key, line.sentence).strip()
        if len(sentence) > 500:
            problems.append((f"lines.{line.key}", "expected a sentence of at most 500 characters"))
        elif sentence:
            lines.append(OfferLine(key=line.key, sentence=sentence))
    own = [sentence.strip() for sentence in wish.own_lines if sentence.strip()]
    if len(own) > MOST_OWN_LINES or any(len(sentence) > 500 for sentence in own):
        problems.append(("own_lines", f"expected at most {MOST_OWN_LINES} lines of at most 500 characters"))
        own = []
    for letter, sentence in zip(string.ascii_lowercase, own, strict=False):
        lines.append(OfferLine(key=f"own_{letter}", sentence=sentence))
    if not lines:
        problems.append(("lines", "expected at least one line for the client to tick"))
    return tuple(lines)
