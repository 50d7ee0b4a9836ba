"""One still as the bytes of its file or files: PNG and JPEG for people, NPY with its camera to measure."""

import io
import json
from dataclasses import replace
from gettext import gettext as _
from pathlib import Path
from typing import Any

import numpy as np
from PIL import Image, PngImagePlugin

from finishes.adaptation import FULL
from finishes.choice import Finish
from meshes.light.lamps import Lighting
from viewer.exposure import described, scene_linear
from viewer.foot import FootLine, put_foot
from viewer.frame import Frame
from viewer.marked import put_marks
from viewer.picture import Studio
from viewer.things import raking_notes

ENDINGS = (".png", ".jpg", ".jpeg", ".npy")
JPEG_QUALITY = 92


def still_image(
    studio: Studio, frame: Frame, lighting: Lighting, finish: Finish, *, label: str, degree: float = FULL
) -> tuple[Image.Image, FootLine]:
    """The picture for people, and the words of its foot. A plain picture, made for measuring, has no foot.

    degree : how far the eye is adapted to the lighting. Below FULL the foot says so, and nothing is agreed by
    it: stand a white card in the studio, for whoever looks is adapted to the screen, not to the room.
    """
    exposure = studio.exposure(lighting, degree)
    image = Image.fromarray(studio.shown(frame, lighting, finish, exposure))
    line = FootLine(
        finish=label,
        lighting=lighting.name,
        state=studio.appearance(finish).state,
        exposure=exposure,
        note=f"{_felt(degree)} {studio.camera(frame).note} {_said(studio, lighting)}".strip(),
    )
    if frame.marked:
        line = replace(line, note=f"{line.note} {_marked(put_marks(image, studio, frame))}".strip())
    if not frame.plain:
        put_foot(image, line)
    return image, line


def _said(studio: Studio, lighting: Lighting) -> str:
    """What the picture shows more simply than it is, and what else is to be known of it, in words."""
    said = raking_notes(studio.job, lighting)
    if studio.extras.steps_mm:
        words = _("Slats are drawn up to {steps:g} mm before or behind each other.")
        said.append(words.format(steps=studio.extras.steps_mm))
    return " ".join(said)


def _felt(degree: float) -> str:
    """That a picture keeps some of the light's colour, in words."""
    if degree >= FULL:
        return ""
    words = _("Evening feel, to look at and not to choose by: adapted to the light by {degree:.0%} only.")
    return words.format(degree=degree)


def _marked(names: list[str]) -> str:
    return _("Marked: {names}.").format(names="; ".join(names)) if names else ""


def image_bytes(image: Image.Image, ending: str, words: str) -> bytes:
    """PNG or JPEG with the words in it; sRGB is what both mean without a profile (PNG says so itself)."""
    stream = io.BytesIO()
    if ending == ".png":
        text = PngImagePlugin.PngInfo()
        text.add(b"sRGB", b"\x00")  # perceptual intent; PNG specification, section 11.3.2.5
        text.add_itxt("Description", words)
        image.save(stream, "PNG", pnginfo=text)
    else:
        image.save(stream, "JPEG", quality=JPEG_QUALITY, subsampling=0, comment=words.encode())
    return stream.getvalue()


def camera_json(studio: Studio, frame: Frame, lighting: Lighting, label: str) -> dict[str, Any]:
    """What is written beside a measured picture: its camera, and what it shows."""
    return {
        **studio.camera(frame).described(frame.width, frame.height),
        "view": frame.view,
        "finish": label,
        "lighting": lighting.name,
        "plain": frame.plain,
        "exposure": described(studio.exposure(lighting)),
    }


def still_files(
    studio: Studio,
    frame: Frame,
    lighting: Lighting,
    finish: Finish,
    *,
    label: str,
    path: Path,
    degree: float = FULL,
) -> dict[Path, bytes]:
    """The file or files of a still by path; the ending of ``path`` (one of ``ENDINGS``) chooses the kind."""
    ending = path.suffix.lower()
    if ending != ".npy":
        image, line = still_image(studio, frame, lighting, finish, label=label, degree=degree)
        return {path: image_bytes(image, ending, line.words())}
    stream = io.BytesIO()
    np.save(stream, scene_linear(studio.xyz(frame, lighting, finish)), allow_pickle=False)
    beside = json.dumps(camera_json(studio, frame, lighting, label), indent=2, ensure_ascii=False)
    return {path: stream.getvalue(), path.with_suffix(".json"): f"{beside}\n".encode()}
