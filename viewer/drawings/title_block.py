"""The title block of a drawing: whose it is, which state of it, at what scale, of which day."""

from dataclasses import dataclass
from gettext import gettext as _

from viewer.drawings import pen as p

HEIGHT = 6.5
"""Of the block [mm of paper]; it stands at the drawing's foot."""
PAD = 1.5


@dataclass(frozen=True, slots=True, kw_only=True)
class TitleBlock:
    """``version`` is the job's, eight signs of its digest; ``dated`` the job's own date, or empty."""

    job: str
    version: str
    dated: str
    remark: str = ""


def title_block(pen: p.Pen, block: TitleBlock) -> None:
    """Draw it over the last ``HEIGHT`` [mm] of a drawing: version and date, and of the name what fits."""
    left, right, top = 0.5, pen.width - 0.5, pen.height - HEIGHT
    pen.rect(left, top, right - left, HEIGHT - 0.5, p.WIDE, p.PAPER)
    baseline, edge = top + HEIGHT / 2 + 0.9, right
    cells = [block.dated or _("not dated"), block.version, block.remark, _("scale: the bar")]
    name = block.job
    for number, words in enumerate(cells):
        width = p.words_width(words) + 2 * PAD
        if not words or (number > 1 and edge - width - left < p.words_width(name) + 2 * PAD):
            continue
        edge -= width
        pen.line(edge, top, edge, pen.height - 0.5, p.NARROW)
        pen.text(edge + PAD, baseline, words)
    most = int((edge - left - 2 * PAD) / p.words_width("0"))
    shown = name if len(name) <= most else name[: max(most - 1, 1)] + "…"
    pen.text(left + PAD, baseline, shown, bold=True)
