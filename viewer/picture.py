"""Pictures: the one place where layers of light meet the colours of a finish.

    job -> set-out -> scene -> samples of a view --+
                        lighting -> transport -----+-> layers -+
    finish -> reflectances (41 bands) -------------------------+-> XYZ [cd/m2], which exposure.py shows

Geometry and light are made once for a wall and kept in its ``Studio``; a finish is a small solve and a
multiply-add on top.
"""

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from finishes.adaptation import FULL
from finishes.appearance import Appearance, appearance
from finishes.choice import Finish
from finishes.lamps import observer
from meshes.gbuffer import GBuffer
from meshes.light.blocks import Layers
from meshes.light.lamps import Lighting
from meshes.light.layers import layers
from meshes.light.relight import coefficients, pieces
from meshes.light.store import LightStore
from meshes.light.transport import Transport, solve_lighting
from meshes.scene_grain import figure_mask
from meshes.solids.props import Extras
from meshes.solids.scene import Scene, build, prop_boxes
from meshes.stems import Figure
from meshes.stills.camera import Camera, camera
from meshes.stills.coating import Coat
from meshes.stills.gloss import body_shares, coat_of, gloss
from meshes.stills.raster import bands, raster
from viewer.answers.set_out import set_outs_of, surveys_of
from viewer.exposure import CARD_SHOWN, Exposure, Pixels, packed_srgb, unpacked
from viewer.figure import figure_of
from viewer.frame import Frame
from viewer.job.model import Job
from viewer.kept import Kept
from viewer.layer_parts import layer_parts
from viewer.light import lamp_spds, mixed_white
from viewer.metering import card_cd_m2
from viewer.plates import plate_numbers, plate_spectra
from viewer.spectra import reflectances, wood_zones

if TYPE_CHECKING:
    from finishes.catalogue import Catalogue

Floats = NDArray[np.float64]
Singles = NDArray[np.float32]
Masks = tuple[Singles | None, Singles | None]
"""(samples,) shares of late wood and of knots; None where there is no figure, or no knot in it."""

NO_FIGURE: tuple[None, None] = (None, None)

RASTER, LIGHT, LAYERS = "raster", "light", "layers"
"""Names of the pieces of long work, in their order."""

SAMPLES_BYTES, MASKS_BYTES, TRANSPORT_BYTES, LAYERS_BYTES = 150 << 20, 20 << 20, 100 << 20, 300 << 20
"""What a studio keeps at most of each kind; one picture of 1600 x 900 takes about half of these."""

LARGEST_KEPT = 2_500_000
"""Pixels of the largest frame whose samples and layers are kept; larger ones are made in bands."""

NO_EXTRAS = Extras()


class Studio:
    """The pictures of one wall in its room. What does not depend on the finish is made once and kept.

    step : hears the name of each piece of long work before it begins, and may raise to stop the picture;
    extras : grey things that stand in the room; store : a folder of light solved before, for this machine.
    Several threads may use it at once: each piece is made by one of them, and the others wait for it.
    """

    def __init__(
        self,
        job: Job,
        catalogue: "Catalogue",
        step: Callable[[str], None] = lambda name: None,
        *,
        extras: Extras = NO_EXTRAS,
        store: LightStore | None = None,
    ) -> None:
        self.job = job
        self.catalogue = catalogue
        self.step = step
        self.extras = extras
        self.store = store
        self._scenes: Kept[Scene] = Kept(0)
        self._samples: Kept[GBuffer] = Kept(SAMPLES_BYTES)
        self._masks: Kept[Masks] = Kept(MASKS_BYTES)
        self._shares: Kept[Singles] = Kept(MASKS_BYTES)
        self._transports: Kept[Transport] = Kept(TRANSPORT_BYTES)
        self._layers: Kept[Layers] = Kept(LAYERS_BYTES, lambda made: made.bytes)

    @property
    def scene(self) -> Scene:
        """The wall and its room as faces."""

        def make() -> Scene:
            walls, surveys = set_outs_of(self.job), surveys_of(self.job)
            return build(walls, self.job.room, extras=self.extras, surveys=surveys)

        return self._scenes.get((), make)

    def camera(self, frame: Frame) -> Camera:
        """The camera of a frame. Raises ``meshes.stills.given.ViewError``."""
        return camera(frame.view, self.scene, frame.width / frame.height)

    def samples(self, frame: Frame) -> GBuffer:
        """What each pixel sees: one raster a view and size."""

        def make() -> GBuffer:
            self.step(RASTER)
            return raster(self.scene, self.camera(frame), frame.width, frame.height)

        return self._samples.get((frame.view, frame.width, frame.height), make)

    def transport(self, lighting: Lighting) -> Transport:
        """The light of a lighting: one solve, whatever the finish."""

        def make() -> Transport:
            self.step(LIGHT)
            given = (self.scene.set_outs, self.job.room, lighting, prop_boxes(self.scene))
            return self.store.transport(*given) if self.store else solve_lighting(*given)

        return self._transports.get(lighting, make)

    def unlit(self, frame: Frame, finish: Finish) -> None:
        """Find out all that a frame shows of a finish before any light: ahead, while that is solved."""
        self._unlit(frame, *self._kind(frame, finish))

    def _unlit(self, frame: Frame, figure: Figure | None, coat: Coat | None) -> tuple[Masks, Singles | None]:
        samples, key = self.samples(frame), (frame.view, frame.width, frame.height)
        masks: Masks = NO_FIGURE
        if figure:
            masks = self._masks.get((*key, figure), lambda: figure_mask(self.scene, samples, figure))
        share = self._shares.get((*key, coat), lambda: body_shares(samples, coat)) if coat else None
        return masks, share

    def layers(
        self, frame: Frame, lighting: Lighting, figure: Figure | None = None, coat: Coat | None = None
    ) -> Layers:
        """The light as the pixels of a frame see it, divided by the figure, and with the gloss of a coat,
        where there are these."""

        def lit() -> Layers:
            masks, share = self._unlit(frame, figure, coat)
            return self._lit(self.samples(frame), lighting, masks, coat, share)

        def make() -> Layers:
            if self.store is None:
                return lit()
            seen_from = self.camera(frame)
            parts = layer_parts(self.job, self.scene, seen_from, frame, lighting, figure, coat)
            return self.store.layers(parts, lit)

        key = (frame.view, frame.width, frame.height, lighting, figure, coat)
        return self._layers.get(key, make)

    def _lit(
        self, samples: GBuffer, lighting: Lighting, masks: Masks, coat: Coat | None, share: Singles | None
    ) -> Layers:
        transport = self.transport(lighting)
        self.step(LAYERS)
        own = plate_numbers(self.scene)[samples.part]
        sheen = gloss(samples, transport, coat) if coat else ()
        return layers(samples, transport, *masks, own, sheen, share)

    def appearance(self, finish: Finish) -> Appearance:
        """What the finish looks like."""
        return appearance(finish, self.catalogue)

    def _kind(self, frame: Frame, finish: Finish) -> tuple[Figure | None, Coat | None]:
        """The figure and the coat that a finish is drawn with: none of them plain."""
        if frame.plain:
            return None, None
        shine = self.appearance(finish).gloss
        coat = coat_of(shine.f0, shine.roughness, shine.matt_share)
        return figure_of(finish, self.catalogue), coat

    def seen(self, frame: Frame, lighting: Lighting, finish: Finish) -> Layers:
        """The layers that a finish is put on: with its figure and its coat's gloss, unless plain."""
        return self.layers(frame, lighting, *self._kind(frame, finish))

    def _bands(self, frame: Frame, lighting: Lighting, finish: Finish) -> Iterator[tuple[int, Layers]]:
        """First pixel and layers of each band of a frame; of a large one nothing is kept."""
        if frame.width * frame.height <= LARGEST_KEPT:
            yield 0, self.seen(frame, lighting, finish)
            return
        figure, coat = self._kind(frame, finish)
        self.step(RASTER)
        first = 0
        for samples in bands(self.scene, self.camera(frame), frame.width, frame.height):
            masks = figure_mask(self.scene, samples, figure) if figure else NO_FIGURE
            share = body_shares(samples, coat) if coat else None
            yield first, self._lit(samples, lighting, masks, coat, share)
            first += samples.width * samples.height

    def _weights(self, seen: Layers, frame: Frame, lighting: Lighting, finish: Finish) -> NDArray[np.float32]:
        """What each of the layers counts for under the finish (layers.count, 3) [cd/m2]."""
        look, glossy = self.appearance(finish), not frame.plain
        return coefficients(
            seen,
            self.transport(lighting),
            reflectances(self.job.room, look, glossy=glossy),
            lamp_spds(lighting, self.catalogue),
            observer(cache_dir=self.catalogue.cache_dir),
            zones=wood_zones(look, glossy=glossy),
            own=plate_spectra(self.scene.set_outs, self.catalogue.cache_dir),
        )

    def xyz(self, frame: Frame, lighting: Lighting, finish: Finish) -> Pixels:
        """The picture as absolute tristimulus values [cd/m2]: scene-linear, not adapted, not exposed."""
        found = np.empty((frame.height * frame.width, 3), np.float32)
        for first, seen in self._bands(frame, lighting, finish):
            for pixels, values in pieces(seen, self._weights(seen, frame, lighting, finish)):
                found[first + pixels] = values
        return found.reshape(frame.height, frame.width, 3)

    def shown(
        self, frame: Frame, lighting: Lighting, finish: Finish, exposure: Exposure
    ) -> NDArray[np.uint8]:
        """The picture as a screen shows it (h, w, 3): ``display_srgb`` of ``xyz``, without making that."""
        rgb = exposure.rgb_from_xyz().T.astype(np.float32)
        packed = np.empty(frame.height * frame.width, np.uint32)
        for first, seen in self._bands(frame, lighting, finish):
            for pixels, linear in pieces(seen, self._weights(seen, frame, lighting, finish) @ rgb):
                packed[first + pixels] = packed_srgb(linear)
        return unpacked(packed).reshape(frame.height, frame.width, 3)

    def exposure(self, lighting: Lighting, degree: float = FULL) -> Exposure:
        """One exposure a lighting, for every finish and view: a white card at the wall's middle shows 0.8.

        degree : how far the eye is adapted to the light; FULL for everything that is compared or signed.
        """
        card = card_cd_m2(
            self.scene.set_outs[0],
            self.transport(lighting),
            lamp_spds(lighting, self.catalogue),
            observer(cache_dir=self.catalogue.cache_dir),
        )
        return Exposure(
            white_cd_m2=card / CARD_SHOWN,
            white_xyz=mixed_white(lighting, self.catalogue),
            degree=degree,
        )
