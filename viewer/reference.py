"""The same picture by an independent path tracer: slow, and what our own pictures are held against."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from finishes.choice import Finish
from meshes.light.lamps import Lighting
from meshes.stills.reference import trace
from viewer.exposure import Pixels
from viewer.frame import Frame
from viewer.job.model import Job
from viewer.light import lamp_spds
from viewer.picture import Studio
from viewer.spectra import reflectances

if TYPE_CHECKING:
    from finishes.catalogue import Catalogue


class ReferenceStudio(Studio):
    """A studio whose pictures are traced; they are plain. Exposure is that of our own pictures.

    samples : paths a pixel; progress : hears the share that is done, 0 to 1.
    """

    def __init__(
        self, job: Job, catalogue: "Catalogue", *, samples: int, progress: Callable[[float], None]
    ) -> None:
        super().__init__(job, catalogue)
        self.paths = samples
        self.progress = progress

    def xyz(self, frame: Frame, lighting: Lighting, finish: Finish) -> Pixels:
        """(h, w, 3) [cd/m2]. Raises ``meshes.stills.reference.ReferenceMissingError`` without the tracer."""
        return trace(
            self.scene,
            self.camera(frame),
            self.job.room,
            lighting,
            reflectance=reflectances(self.job.room, self.appearance(finish), glossy=False),
            lamp_spd=lamp_spds(lighting, self.catalogue),
            width=frame.width,
            height=frame.height,
            samples=self.paths,
            progress=self.progress,
        )
