"""What changed between two versions of a job, in words and quantities, so that nobody buys or cuts twice."""

from collections.abc import Callable, Iterator, Mapping
from decimal import Decimal
from gettext import gettext as _
from typing import TYPE_CHECKING, Any

from finishes.workshop import sign_off_words
from meshes.layout.placed import Panel, SetOut
from viewer.answers.quantities import Quantities, quantities
from viewer.drawings.figures import figure
from viewer.estimate.changes import changes, name_of
from viewer.estimate.export import number
from viewer.estimate.prices import PriceList
from viewer.estimate.shopping import shopping_list
from viewer.job.canonical import digest
from viewer.job.choices import chosen_finish
from viewer.job.model import Job

if TYPE_CHECKING:
    from finishes.catalogue import Catalogue

Json = dict[str, Any]
Version = tuple[Job, Mapping[str, object]]

FACTS: tuple[tuple[str, Callable[[SetOut], str]], ...] = (
    (_("Wall"), lambda one: f"{figure(one.wall_width)} × {figure(one.wall_height)} mm"),
    (_("Datum"), lambda one: one.datum),
    (_("Slats"), lambda one: f"{len(one.slats)}"),
    (_("Slat"), lambda one: f"{figure(one.slat_width)} × {figure(one.slat_depth)} mm"),
    (_("Gap"), lambda one: f"{figure(one.gap)} mm ({one.gap})"),
    (_("Build-up"), lambda one: f"{figure(one.build_up.total)} mm"),
    (_("Panels"), lambda one: f"{len(one.panels)}"),
)


def changes_answer(
    old: Version, new: Version, catalogue: "Catalogue", prices: PriceList | None = None
) -> Json:
    """What ``slatwright changes`` prints; each list is empty where nothing moved.

    Both versions are reckoned with their first cutting plan: a proof for one of them alone is no change.
    """
    before, after = (quantities(job, chosen_finish(job), catalogue, prices) for job, _document in (old, new))
    versions = [digest(document)[:8] for _job, document in (old, new)]
    return {
        "before": versions[0],
        "after": versions[1],
        "same": versions[0] == versions[1],
        "set_out": list(_walls(before.set_outs, after.set_outs)),
        "finish": _finish(old[0], new[0], catalogue),
        "sentences": _sentences(before, after),
        "quantities": list(_needs(before, after)),
        "shopping": list(_shopping(before, after)),
    }


def _walls(before: tuple[SetOut, ...], after: tuple[SetOut, ...]) -> Iterator[str]:
    if len(before) != len(after):
        yield _moved(_("Walls"), str(len(before)), str(len(after)))
    for wall, (old, new) in enumerate(zip(before, after, strict=False), start=1):
        place = _("Wall %(number)d: ") % {"number": wall} if len(after) > 1 else ""
        for words, fact in FACTS:
            if fact(old) != fact(new):
                yield place + _moved(words, fact(old), fact(new))
        yield from (place + words for words in _panels(old, new))


def _panels(old: SetOut, new: SetOut) -> Iterator[str]:
    """Boards and their cut-outs, panel by panel: what was cut already may still fit."""
    for was, now in zip(old.panels, new.panels, strict=False):
        name = _("Panel %(number)d") % {"number": now.index + 1}
        if _board(was) != _board(now):
            yield _moved(_("%(panel)s, board") % {"panel": name}, _board(was), _board(now))
        if _cutouts(was) != _cutouts(now):
            yield _moved(_("%(panel)s, cut-outs") % {"panel": name}, _cutouts(was), _cutouts(now))
    for gone in old.panels[len(new.panels) :]:
        yield _("Panel %(number)d: no longer there.") % {"number": gone.index + 1}
    for added in new.panels[len(old.panels) :]:
        words = {"number": added.index + 1, "board": _board(added)}
        yield _("Panel %(number)d: new, board %(board)s.") % words


def _board(panel: Panel) -> str:
    return f"{figure(panel.board.width)} × {figure(panel.board.height)} mm"


def _cutouts(panel: Panel) -> str:
    found = (panel.from_own_corner(cut) for cut in panel.cutouts)
    words = (
        f"{figure(cut.width)} × {figure(cut.height)} at {figure(cut.left)}, {figure(cut.bottom)}"
        for cut in found
    )
    return "; ".join(words) or _("none")


def _moved(what: str, before: str, after: str) -> str:
    words = {"what": what, "before": before, "after": after}
    return _("%(what)s: %(before)s became %(after)s.") % words


def _finish(old: Job, new: Job, catalogue: "Catalogue") -> list[str]:
    was, now = (sign_off_words(chosen_finish(job), catalogue) for job in (old, new))
    return [] if was == now else [_moved(_("Finish"), was, now)]


def _sentences(before: Quantities, after: Quantities) -> list[str]:
    if before.priced is None or after.priced is None:
        problems = before.no_plan or after.no_plan
        why = "; ".join(message for _path, message in problems)
        return [_("Quantities cannot be compared: %(why)s.") % {"why": why}]
    return list(changes(before.priced.estimate, after.priced.estimate))


def _needs(before: Quantities, after: Quantities) -> Iterator[Json]:
    """Every need that moved: likely quantities before and after, and what that is more or less."""
    if before.priced is None or after.priced is None:
        return
    old = {line.need.key: line.need for line in before.priced.estimate.lines}
    new = {line.need.key: line.need for line in after.priced.estimate.lines}
    for key, need in {**new, **{key: need for key, need in old.items() if key not in new}}.items():
        was = old[key].quantity.likely if key in old else Decimal(0)
        now = new[key].quantity.likely if key in new else Decimal(0)
        if was != now:
            yield {
                "what": name_of(need),
                "unit": need.unit,
                "before": number(was),
                "after": number(now),
                "step": number(now - was),
            }


def _shopping(before: Quantities, after: Quantities) -> Iterator[Json]:
    """In packs as they are sold: ``step`` > 0 is still to buy, < 0 is left over if all was bought."""
    if before.priced is None or after.priced is None:
        return
    counts: dict[tuple[str, str, str], list[Decimal]] = {}
    for place, found in enumerate((before.priced.estimate, after.priced.estimate)):
        for supplier in shopping_list(found):
            for entry in supplier.entries:
                key = (supplier.name, entry.what, entry.pack)
                counts.setdefault(key, [Decimal(0), Decimal(0)])[place] += entry.count
    for (name, what, pack), (was, now) in counts.items():
        if was != now:
            yield {
                "supplier": name or None,
                "what": what,
                "pack": pack,
                "before": number(was),
                "after": number(now),
                "step": number(now - was),
            }
