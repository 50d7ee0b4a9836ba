"""How a job stands to what was signed: nothing signed, as signed, as built within, or changed."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from gettext import gettext as _

from viewer.signoff.agreed import Change, Fact, changes, fact_from_json
from viewer.signoff.chain import Entry

SIGNING = frozenset({"signature", "variation"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """``outside`` are changes that the client has to sign, ``within`` those recorded as built."""

    place: int
    signed_on: str
    finish: str
    outside: tuple[Change, ...]
    within: tuple[Change, ...]
    handed_over: bool

    @property
    def holds(self) -> bool:
        """Whether the signature covers the job as it is now."""
        return not self.outside

    @property
    def sentence(self) -> str:
        """One line for the job's pages and title blocks."""
        if self.outside:
            moved = "; ".join(change.sentence for change in self.outside)
            return _("signed on {date}: {changes}").format(date=self.signed_on, changes=moved)
        if self.within:
            moved = "; ".join(change.sentence for change in self.within)
            return _("signed on {date}, as built: {changes}").format(date=self.signed_on, changes=moved)
        return _("signed on {date}, as it stands").format(date=self.signed_on)


def standing(entries: Sequence[Entry], now: Sequence[Fact]) -> Standing | None:
    """The job's present facts against the last signature; None when nothing is signed.

    The price is fixed by the signature, so it is not compared: a dearer tin changes no agreement.
    """
    last = last_signed(entries)
    if last is None:
        return None
    found = changes(_agreed(last), [fact for fact in now if fact.name != "price"])
    choice = last.sections["choice"]
    return Standing(
        place=last.place,
        signed_on=choice["signed_on"],
        finish=choice["finish"],
        outside=tuple(change for change in found if not change.within),
        within=tuple(change for change in found if change.within),
        handed_over=any(entry.stage == "handover" for entry in entries[last.place :]),
    )


def _agreed(entry: Entry) -> list[Fact]:
    """The signed facts but the price, in today's words.

    Records of before said "first" of a wall that goes on round no corner, and named corners by one word.
    """
    corners = {"inside": _("inside corner"), "outside": _("outside corner")}
    found = []
    for fact in (fact_from_json(one) for one in entry.sections["facts"] if one["name"] != "price"):
        if fact.name.endswith(".turns"):
            if fact.value == "first":
                continue
            fact = replace(fact, value=corners.get(str(fact.value), fact.value))
        found.append(fact)
    return found


def superseding(entries: Sequence[Entry], entry: Entry) -> Entry | None:
    """What took an entry's place: a variation, a withdrawal, or nothing."""
    return next((one for one in entries if one.supersedes == entry.place), None)


def last_signed(entries: Sequence[Entry]) -> Entry | None:
    """The newest signature or signed variation that no later entry supersedes."""
    gone = {entry.supersedes for entry in entries}
    alive = [entry for entry in entries if entry.stage in SIGNING and entry.place not in gone]
    return alive[-1] if alive else None
