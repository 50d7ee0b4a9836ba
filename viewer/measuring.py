"""A photograph of a stained off-cut becomes the colour of a finish: *Measured*, and with which doubt.

    photographs, corners --> worker process --> XYZ by day --+
    finish --> the model's spectrum -------------------------+--> OffCut, kept in the job's finish

Nothing of the photographs is kept but the colour.
"""

import copy
import json
import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from gettext import gettext as _
from typing import TYPE_CHECKING, Any

import numpy as np

from finishes.appearance import appearance
from finishes.chart_fit import RefusedError
from finishes.choice import Finish, OffCut, a_day
from finishes.cie import CHART_VINTAGES
from finishes.cielab import lab
from finishes.difference import ciede2000
from finishes.measured import measured
from finishes.photo import Corners
from finishes.sample import GREY_CARD_Y, ShotReading, together
from finishes.spectra import Floats
from viewer.job.reading import Problem
from viewer.off_cut_worker import read_off_cut, read_preview
from viewer.uploads import UploadError, apart

if TYPE_CHECKING:
    from finishes.catalogue import Catalogue

VINTAGES = tuple(reversed(CHART_VINTAGES))
"""Ages of the chart, the usual one first."""
MOST_BYTES = 80 << 20
"""Of one photograph: 12 megapixels of 16 bits, not compressed."""
MOST_PHOTOS = 12
Json = dict[str, Any]


class MeasuringError(ValueError):
    """The off-cut cannot be measured; ``problems`` as everywhere: ``photo[0].chart``, ``date`` …"""

    def __init__(self, problems: Sequence[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("; ".join(f"{path}: {message}" for path, message in self.problems))


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoGiven:
    """A photograph and where things lie in it: corners in shares (0..1) or pixels of the upright picture.

    Either ``chart`` (24 patches, beginning beside the brown one) or, roughly, ``card`` (grey).
    """

    data: bytes
    off_cut: Corners
    chart: Corners | None = None
    card: Corners | None = None
    vintage: str = VINTAGES[0]
    card_y: float = GREY_CARD_Y
    in_pixels: bool = False


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Measurement:
    """What was measured. ``moved_de``: how far it lies from the model's colour by day, CIEDE2000."""

    off_cut: OffCut
    finish: Finish
    lab_d65: Floats
    moved_de: float
    sentences: tuple[str, ...]


def measure(
    photos: Sequence[PhotoGiven],
    finish: Finish,
    catalogue: "Catalogue",
    *,
    name: str,
    date: str,
    lamp: str,
    separately: bool = True,
) -> Measurement:
    """The off-cut of this finish. Raises ``MeasuringError`` with every problem.

    separately : the photographs are opened in a process of their own (always, where they come from the web).
    """
    problems = list(_said(name, date, lamp))
    if not 1 <= len(photos) <= MOST_PHOTOS:
        problems.append(("photo", _("expected 1 to {most} photographs").format(most=MOST_PHOTOS)))
    readings = []
    for number, given in enumerate(photos[:MOST_PHOTOS]):
        found = _read(given, catalogue, separately)
        if isinstance(found, ShotReading):
            readings.append(found)
        else:
            problems += [
                (".".join(filter(None, (f"photo[{number}]", about))), sentence) for about, sentence in found
            ]
    if problems:
        raise MeasuringError(problems)
    reading = together(readings, catalogue)
    try:
        off_cut = measured(name, reading, finish, catalogue, date=date, lamp_name=lamp)
    except RefusedError as refused:
        raise MeasuringError(refused.problems) from None
    made = finish.model_copy(update={"sample": "", "off_cut": off_cut})
    model = appearance(finish.model_copy(update={"sample": "", "off_cut": None}), catalogue)
    moved = float(ciede2000(reading.lab_d65, _by_day(model.seen(), catalogue)))
    return Measurement(
        off_cut=off_cut,
        finish=made,
        lab_d65=reading.lab_d65,
        moved_de=moved,
        sentences=_sentences(off_cut, moved),
    )


def _said(name: str, date: str, lamp: str) -> Sequence[Problem]:
    """Problems of what was written beside the photographs."""
    problems = []
    if not 1 <= len(name) <= 100:
        problems.append(("name", _("expected 1 to 100 characters: what is written on the off-cut's back")))
    if not 1 <= len(lamp) <= 100:
        problems.append(("lamp", _("expected what lit the photograph, in 1 to 100 characters")))
    try:
        a_day(date)
    except ValueError as error:
        problems.append(("date", str(error)))
    return problems


def _read(given: PhotoGiven, catalogue: "Catalogue", separately: bool) -> ShotReading | Sequence[Problem]:
    if len(given.data) > MOST_BYTES:
        size = _("expected at most {most} MB; cut it to the chart and the off-cut")
        return [("", size.format(most=MOST_BYTES >> 20))]
    if (given.chart is None) == (given.card is None):
        return [("chart", _("expected the corners of a chart or of a grey card, one of them"))]
    if given.vintage not in CHART_VINTAGES:
        return [("vintage", _("expected one of {names}").format(names=", ".join(VINTAGES)))]
    if not 0.01 <= given.card_y <= 0.99:
        return [("card_y", _("expected the card's luminance factor, 0.01 to 0.99"))]
    wanted = {
        **{
            key: getattr(given, key) for key in ("off_cut", "chart", "card", "vintage", "card_y", "in_pixels")
        },
        "cache_dir": str(catalogue.cache_dir) if catalogue.cache_dir else None,
    }
    read = partial(read_off_cut, given=json.dumps(wanted))
    try:
        answer: Json = json.loads(apart(read, given.data) if separately else read(given.data))
    except UploadError as error:
        return [("", str(error))]
    if "problems" in answer:
        return [(about, sentence) for about, sentence in answer["problems"]]
    return ShotReading(xyz_d65=np.array(answer["xyz_d65"]), left_out_de=answer["left_out_de"])


def _by_day(reflectance: Floats, catalogue: "Catalogue") -> Floats:
    light = catalogue.light("D65")
    return lab(reflectance @ light.weights, light.white_xyz)


def _sentences(off_cut: OffCut, moved: float) -> tuple[str, ...]:
    give = _("Measured, give or take {number:.0f}.").format(number=off_cut.uncertainty_de)
    if moved <= off_cut.uncertainty_de:
        apart_from_model = _("The model had foreseen this colour as nearly as it can be measured.")
    else:
        apart_from_model = _(
            "The model was {number:.0f} away from it; pictures now show the off-cut."
        ).format(number=moved)
    found = [give, apart_from_model]
    if off_cut.rough:
        found.append(_("A grey card alone is rough; lay a chart of 24 patches beside the off-cut."))
    return tuple(found)


def measurement_json(found: Measurement) -> Json:
    """As ``slatwright sample`` prints it."""
    return {
        "state": "Measured",
        "lab_d65": [round(float(value), 2) for value in found.lab_d65],
        "moved_de": round(found.moved_de, 2),
        "sentences": list(found.sentences),
        "off_cut": found.off_cut.model_dump(mode="json"),
    }


def with_off_cut(document: Json, place: str, off_cut: OffCut | None) -> Json:
    """A copy of a job's document with the off-cut in its finish, or, for None, without one.

    place : ``finish`` or ``finishes[2]``. A sample named there gives way. Raises KeyError for another place.
    """
    found = re.fullmatch(r"finish|finishes\[(\d+)\]", place)
    changed = copy.deepcopy(document)
    if found is None:
        raise KeyError(place)
    if found[1] is None:
        finish = changed.setdefault("finish", {})
    else:
        listed = changed.get("finishes", [])
        if int(found[1]) >= len(listed):
            raise KeyError(place)
        finish = listed[int(found[1])]
    finish.pop("off_cut", None)
    if off_cut is not None:
        finish.pop("sample", None)
        finish["off_cut"] = off_cut.model_dump(mode="json")
    return changed


def preview(data: bytes) -> bytes:
    """A PNG of the photograph, upright, to mark corners on and to measure. Raises ``UploadError``."""
    if len(data) > MOST_BYTES:
        raise UploadError(_("expected at most {most} MB").format(most=MOST_BYTES >> 20))
    return apart(read_preview, data)


def corners_of(text: str) -> Corners:
    """``"10,20 110,20 110,90 10,90"`` as four corners. Raises ValueError saying what is accepted."""
    numbers = re.findall(r"[^\s,;]+", text)
    try:
        values = [float(number) for number in numbers]
    except ValueError:
        values = []
    if len(values) != 8 or not np.isfinite(values).all():
        raise ValueError(
            _("expected four corners as x,y x,y x,y x,y: top left, top right, bottom right, bottom left")
        )
    first, second, third, fourth = zip(values[::2], values[1::2], strict=True)
    return first, second, third, fourth
