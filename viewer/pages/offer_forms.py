"""What the forms of sign-off carry, read into the values that the rest works with."""

from werkzeug.datastructures import MultiDict

from viewer.pages.offered import Offered
from viewer.pages.places import number_below
from viewer.pages.signing import Filled
from viewer.signoff.agreed import Tolerances
from viewer.signoff.lines import default_lines
from viewer.signoff.making import Wish


def _lines(text: str) -> list[str]:
    return [line.strip() for line in text.splitlines() if line.strip()]


def wish(form: MultiDict[str, str]) -> Wish:
    """The maker's form for a new offer. A line whose box is not ticked is left out."""
    kept = set(form.getlist("line"))
    return Wish(
        finishes=form.getlist("finish"),
        lightings=form.getlist("lighting"),
        expires=form.get("expires", ""),
        maker=form.get("maker", ""),
        price=form.get("price", ""),
        currency=form.get("currency", ""),
        tax_included=form.get("tax_included") == "yes",
        price_shown=form.get("price_shown") == "yes",
        excluded=_lines(form.get("excluded", "")),
        sentences={
            line.key: form.get(f"sentence_{line.key}", line.sentence) if line.key in kept else ""
            for line in default_lines()
        },
        own_lines=_lines(form.get("own_lines", "")),
        tolerances={name: form.get(f"tolerance_{name}", "") for name in Tolerances.model_fields},
    )


def filled(form: MultiDict[str, str], on: Offered, *, paper: bytes = b"") -> Filled:
    """The client's form. Finishes go by their number."""
    finish = number_below(form.get("finish", ""), len(on.offer.finishes))
    return Filled(
        finish="" if finish is None else on.offer.finishes[finish],
        name=form.get("name", ""),
        signed_on=form.get("signed_on", ""),
        off_cut=form.get("off_cut", ""),
        ticked=form.getlist("ticked"),
        seen_by_day=form.get("seen_by_day") == "yes",
        seen_under_lamps=form.get("seen_under_lamps") == "yes",
        drawn=form.get("drawn", ""),
        paper=paper,
    )
