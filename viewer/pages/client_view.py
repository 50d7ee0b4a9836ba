"""What the client's page shows, as plain values for its template."""

from collections.abc import Sequence
from gettext import gettext as _
from typing import Any

from markupsafe import Markup
from werkzeug.datastructures import MultiDict

from viewer.drawings.elevation import elevation
from viewer.drawings.figures import figure
from viewer.job.reading import Problem
from viewer.local_time import local_day, today
from viewer.pages import words
from viewer.pages.job_view import LEVELS_MM, finish_words, script_json
from viewer.pages.offered import Offered
from viewer.pages.opened import first_entries
from viewer.pages.record_words import shown_name
from viewer.pages.ways import wall_heading
from viewer.services import services
from viewer.signoff.agreed import Fact
from viewer.signoff.chain import Entry
from viewer.signoff.facts import which_wall
from viewer.signoff.keys import fingerprint
from viewer.signoff.offer import Offer, Price
from viewer.signoff.standing import superseding

FIRST_FACTS = ("gap", "slat_width", "slat_depth", "count", "build_up", "ends")
"""What most clients ask for; the rest stands behind one press."""


def client_page(on: Offered, *, problems: Sequence[Problem], form: MultiDict[str, str]) -> dict[str, Any]:
    """Values of ``signoff_client.html``; ``form`` is what was typed before, when there are problems."""
    names = first_entries()
    entry = signed_entry(on)
    labels = [label for label, _finish in on.finishes]
    number = labels.index(entry.sections["choice"]["finish"]) if entry else 0
    checked = form.get("finish", "0") if problems else str(number)
    facts = on.facts(on.finishes[number][1])
    more = [fact for fact in facts if not _is_first(fact) and measured(fact)]
    return {
        "name": on.job.name,
        "maker": on.offer.maker,
        "offer": on.offer,
        "state": on.state,
        "own_screen": on.family == "client",
        "back": f"/offers/{on.stored.id}/" if on.family == "client" else "",
        "problems": [(field, problem_words(field), message) for field, message in problems],
        "form": form if problems else MultiDict(),
        "still": {
            "src": on.address("picture", number=number * len(on.lightings) * len(on.offer.views)),
            "words": words.foot(
                labels[number], on.lightings[0].name, on.studio.appearance(on.finishes[number][1]).state
            ),
        },
        "views": [
            {"key": key, "name": words.view_name(key), "checked": key == on.offer.views[0]}
            for key in on.offer.views
        ],
        "lightings": [
            {"key": str(number), "name": one.name, "checked": number == 0}
            for number, one in enumerate(on.lightings)
        ],
        "finishes": [
            {
                "key": str(number),
                "name": label,
                "make": finish_words(finish, names),
                "state": on.studio.appearance(finish).state,
                "band": on.address("band", number=number),
                "checked": str(number) == checked,
            }
            for number, (label, finish) in enumerate(on.finishes)
        ],
        "elevations": [
            {
                "heading": wall_heading(number, on.walls),
                "levels": {
                    level: Markup(elevation(set_out, zones=zones, width_mm=width, height_mm=height))
                    for level, (width, height) in LEVELS_MM.items()
                },
            }
            for number, (set_out, zones) in enumerate(
                zip(on.studio.scene.set_outs, on.job.zones_by_wall, strict=True), start=1
            )
        ],
        "facts": _by_wall([fact for fact in facts if _is_first(fact)], on.walls),
        "more_facts": _by_wall(more, on.walls),
        "more_count": len(more),
        "price": price_words(on.offer.price) if on.offer.price else "",
        "orbit": script_json(on.orbit()),
        "pictures": [
            {"src": on.address("picture", number=number), "words": picture_words(on.offer, number)}
            for number in range(len(on.offer.pictures))
        ],
        "remarks": services().store.offers.remarks(on.stored.id),
        "sign": f"{on.address('signing').partition('?')[0]}",
        "remark": f"{on.address('remark').partition('?')[0]}",
        "record": on.address("record").partition("?")[0] if on.stored.signed_place is not None else "",
        "sheet": on.address("sheet").partition("?")[0] if on.complete else "",
        "signed": signed_words(on, entry) if entry else "",
        "known": [one for one in on.offer.lines if entry and one.key in entry.sections["choice"]["ticked"]],
        "fingerprint": fingerprint(services().store.records.signer.public),
        "today": today().isoformat(),
    }


def _is_first(fact: Fact) -> bool:
    return fact.name.rpartition(".")[2] in FIRST_FACTS and fact.name.count(".") == 1


def measured(fact: Fact) -> bool:
    """Facts of the walls; finish and price stand elsewhere on page and sheet."""
    return not fact.name.startswith(("finish.", "price"))


def _by_wall(facts: Sequence[Fact], count: int) -> list[dict[str, Any]]:
    """Readings under their wall's heading, which they then need not repeat; those of no wall come last."""
    found = []
    for number in (*range(count), None):
        key = "" if number is None else f"wall_{number}"
        those = [fact for fact in facts if _wall_of(fact) == key]
        if those:
            begins = "" if number is None else which_wall(number, count)
            found.append(
                {
                    "heading": _("The whole job") if number is None else wall_heading(number + 1, count),
                    "rows": [fact_row(fact, begins) for fact in those],
                }
            )
    return found


def _wall_of(fact: Fact) -> str:
    key, dot, _rest = fact.name.partition(".")
    return key if dot and key.startswith("wall_") else ""


def fact_row(fact: Fact, begins: str) -> dict[str, str]:
    """A fact as a reading, with what it may differ by; ``begins``: words that its heading says already."""
    value = fact.value if isinstance(fact.value, str) else figure(fact.value)
    return {
        "what": fact.words.removeprefix(begins),
        "amount": value,
        "unit": fact.unit,
        "note": f"± {figure(fact.tolerance)}\u00a0{fact.unit}".rstrip() if fact.tolerance else "",
    }


def price_words(price: Price) -> str:
    """The price in one line."""
    tax = _("tax included") if price.tax_included else _("plus tax")
    return f"{price.amount} {price.currency}, {tax}"


def picture_words(offer: Offer, number: int) -> str:
    """What a still of the offer shows."""
    picture = offer.pictures[number]
    view = words.view_name(picture.view)
    return f"{picture.finish}, {picture.lighting}, {view}"


def signed_entry(on: Offered) -> Entry | None:
    """The entry that signed this offer; None for one that is not signed."""
    if on.stored.signed_place is None:
        return None
    return services().store.records.entries(on.stored.job_id)[on.stored.signed_place]


def signed_words(on: Offered, entry: Entry) -> str:
    """Who signed what and when, and what came of it."""
    records = services().store.records
    entries = records.entries(on.stored.job_id)
    choice = entry.sections["choice"]
    signed = _("Signed on {date} by {name}: {finish}, off-cut {off_cut}.").format(
        date=choice["signed_on"],
        name=shown_name(entry.sections["client"]["name"], records.personal(on.stored.job_id)),
        finish=choice["finish"],
        off_cut=choice["off_cut"],
    )
    later = superseding(entries, entry)
    if later is None:
        return signed
    if later.stage == "withdrawn":
        return _("{signed} Withdrawn on {date}.").format(signed=signed, date=local_day(later.at))
    return _("{signed} A variation signed on {date} takes its place.").format(
        signed=signed, date=later.sections["choice"]["signed_on"]
    )


def problem_words(field: str) -> str:
    """The label of the field that a problem belongs to."""
    return {
        "finish": _("Finish"),
        "name": _("Name"),
        "signed_on": _("Date"),
        "off_cut": _("Off-cut number"),
        "seen_by_day": _("Off-cut seen"),
        "ticked": _("What I know"),
        "drawn": _("Signature"),
        "paper": _("Signed sheet"),
        "words": _("Remark"),
    }.get(field.partition("[")[0], field)
