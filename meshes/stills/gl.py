"""The only module that imports pyrender or OpenGL: which face each sample of a view sees.

Three things about offscreen drawing stand here and nowhere else:

- ``import pyrender`` opens a window toolkit that a bare server lacks, and asks for a name that numpy 2
  dropped; both are put in place before the import.
- A context belongs to the thread that made it, and deleting one kills the others of the process. So there is
  one context a process, made when first needed, in one thread, fed through a queue, resized and never deleted
  while it works. A lost context is replaced and the work done again.
- After a fork the driver hangs. A forked process gets an error instead; workers are started by ``spawn``.

Ids are drawn into an integer buffer of our own, one sample a pixel: pyrender's own framebuffer is
multisampled and would mix the ids of neighbouring faces along every edge.
"""

import contextlib
import os
import sys
import types
from concurrent.futures import ThreadPoolExecutor
from threading import Lock
from typing import Any

import numpy as np
from numpy.typing import NDArray

from meshes.stills.drawing import Drawing, clip_from_camera


class GraphicsError(RuntimeError):
    """Nothing can be drawn here; the message says what an administrator can do about it."""


def face_ids(drawing: Drawing) -> NDArray[np.int32]:
    """(len(offsets), rows, width) index into ``corners`` of the face seen, -1 where there is none.

    Raises GraphicsError where nothing can be drawn.
    """
    if _lane.pid != os.getpid():
        raise GraphicsError("a forked process cannot draw; start workers with the 'spawn' method")
    ids: NDArray[np.int32] = _lane.executor().submit(_drawn, drawing).result()
    return ids


def rasters_drawn() -> int:
    """How many drawings this process has made: tests hold 'one raster a view' against it."""
    return _lane.drawings


class _Lane:
    """The process's one drawing thread and what lives in it."""

    def __init__(self) -> None:
        self.pid = os.getpid()
        self.guard = Lock()
        self.thread: ThreadPoolExecutor | None = None
        self.canvas: _Canvas | None = None
        self.drawings = 0

    def executor(self) -> ThreadPoolExecutor:
        with self.guard:  # two first pictures at once are still drawn in one thread
            if self.thread is None:
                self.thread = ThreadPoolExecutor(1, thread_name_prefix="drawing")
            return self.thread


_lane = _Lane()


def _drawn(drawing: Drawing) -> NDArray[np.int32]:
    """In the drawing thread: draw, and once more with a new context if the old one was lost."""
    for last_try in (False, True):
        if _lane.canvas is None:
            _lane.canvas = _Canvas()
        canvas = _lane.canvas
        try:
            ids = canvas.draw(drawing)
        except Exception as error:
            if not isinstance(error, canvas.lost):
                raise
            canvas.abandon()
            _lane.canvas = None
            if last_try:
                raise GraphicsError(f"drawing failed twice: {type(error).__name__}") from error
        else:
            _lane.drawings += 1
            return ids
    raise AssertionError("unreachable")


def _loaded() -> tuple[Any, Any, tuple[type[Exception], ...]]:
    """pyrender, OpenGL.GL and what they raise when a context is lost."""
    os.environ.setdefault("PYOPENGL_PLATFORM", "egl")
    if not hasattr(np, "infty"):
        np.infty = np.inf  # type: ignore[attr-defined]
    if "pyrender.viewer" not in sys.modules:
        stand_in = types.ModuleType("pyrender.viewer")
        stand_in.Viewer = None  # type: ignore[attr-defined]
        sys.modules["pyrender.viewer"] = stand_in
    try:
        return _import_pyrender()
    except (ImportError, AttributeError, OSError) as problem:
        raise GraphicsError(_missing(problem)) from problem


def _import_pyrender() -> tuple[Any, Any, tuple[type[Exception], ...]]:
    import pyrender
    from OpenGL import GL, error
    from OpenGL.raw.EGL._errors import EGLError

    return pyrender, GL, (error.GLError, EGLError, error.NullFunctionError, AssertionError)


def _missing(problem: Exception) -> str:
    return (
        "pictures need the system libraries EGL and OpenGL with a software driver: ask an administrator for "
        f"the packages libegl1 and libgl1 (Debian, Ubuntu). The attempt ended in {type(problem).__name__}."
    )


_VERTEX = """#version 330 core
layout(location = 0) in vec3 corner;
uniform mat4 clip_from_camera;
void main() { gl_Position = clip_from_camera * vec4(corner, 1.0); }
"""
_FRAGMENT = """#version 330 core
out uint face;
void main() { face = uint(gl_PrimitiveID) / 2u + 1u; }
"""


class _Canvas:
    """One context with one program and one integer framebuffer. Lives and dies in the drawing thread."""

    def __init__(self) -> None:
        pyrender, self.gl, self.lost = _loaded()
        unfit: tuple[type[Exception], ...] = (
            *self.lost,
            ImportError,
            AttributeError,
            OSError,
            ValueError,
            IndexError,
        )
        try:
            self.context = pyrender.OffscreenRenderer(16, 16)
        except unfit as problem:
            raise GraphicsError(_missing(problem)) from problem
        self.size = (0, 0)
        gl = self.gl
        self.program = gl.glCreateProgram()
        for kind, source in ((gl.GL_VERTEX_SHADER, _VERTEX), (gl.GL_FRAGMENT_SHADER, _FRAGMENT)):
            shader = gl.glCreateShader(kind)
            gl.glShaderSource(shader, source)
            gl.glCompileShader(shader)
            if not gl.glGetShaderiv(shader, gl.GL_COMPILE_STATUS):
                raise GraphicsError(f"the driver refused a shader: {gl.glGetShaderInfoLog(shader)!r}")
            gl.glAttachShader(self.program, shader)
        gl.glLinkProgram(self.program)
        if not gl.glGetProgramiv(self.program, gl.GL_LINK_STATUS):
            raise GraphicsError(f"the driver refused the program: {gl.glGetProgramInfoLog(self.program)!r}")
        self.matrix = gl.glGetUniformLocation(self.program, "clip_from_camera")
        self.array = gl.glGenVertexArrays(1)
        self.vertices, self.indices = gl.glGenBuffers(2)
        self.frame = gl.glGenFramebuffers(1)
        self.colour, self.depth = gl.glGenRenderbuffers(2)

    def abandon(self) -> None:
        """Let go of a context that no longer works; what it still answers does not matter."""
        with contextlib.suppress(Exception):
            self.context.delete()

    def draw(self, drawing: Drawing) -> NDArray[np.int32]:
        """One pass for each offset."""
        gl = self.gl
        self.context._platform.make_current()
        rows = drawing.rows[1] - drawing.rows[0]
        self._resize(drawing.width, rows)
        count = self._upload(drawing.corners)
        gl.glViewport(0, 0, drawing.width, rows)
        gl.glEnable(gl.GL_DEPTH_TEST)
        gl.glDepthFunc(gl.GL_LESS)
        gl.glDisable(gl.GL_BLEND)
        gl.glDisable(gl.GL_MULTISAMPLE)
        gl.glEnable(gl.GL_CULL_FACE)
        gl.glCullFace(gl.GL_BACK)
        gl.glFrontFace(gl.GL_CCW)
        gl.glPixelStorei(gl.GL_PACK_ALIGNMENT, 4)
        gl.glUseProgram(self.program)
        # glReadPixels fills an array in place only if its type is the one that is read
        seen = np.empty((len(drawing.offsets), rows, drawing.width), np.uint32)
        nothing = np.zeros(4, np.uint32)
        for number, offset in enumerate(drawing.offsets):
            gl.glClearBufferuiv(gl.GL_COLOR, 0, nothing)
            gl.glClearBufferfv(gl.GL_DEPTH, 0, np.ones(1, np.float32))
            gl.glUniformMatrix4fv(self.matrix, 1, gl.GL_TRUE, clip_from_camera(drawing, offset))
            gl.glDrawElements(gl.GL_TRIANGLES, count, gl.GL_UNSIGNED_INT, None)
            gl.glReadPixels(
                0, 0, drawing.width, rows, gl.GL_RED_INTEGER, gl.GL_UNSIGNED_INT, array=seen[number]
            )
        gl.glUseProgram(0)
        gl.glBindVertexArray(0)
        gl.glBindFramebuffer(gl.GL_FRAMEBUFFER, 0)
        ids = seen.view(np.int32)
        ids -= 1
        return ids[:, ::-1]

    def _resize(self, width: int, rows: int) -> None:
        gl = self.gl
        gl.glBindFramebuffer(gl.GL_FRAMEBUFFER, self.frame)
        if self.size == (width, rows):
            return
        for buffer, kind, place in (
            (self.colour, gl.GL_R32UI, gl.GL_COLOR_ATTACHMENT0),
            (self.depth, gl.GL_DEPTH_COMPONENT32F, gl.GL_DEPTH_ATTACHMENT),
        ):
            gl.glBindRenderbuffer(gl.GL_RENDERBUFFER, buffer)
            gl.glRenderbufferStorage(gl.GL_RENDERBUFFER, kind, width, rows)
            gl.glFramebufferRenderbuffer(gl.GL_FRAMEBUFFER, place, gl.GL_RENDERBUFFER, buffer)
        if gl.glCheckFramebufferStatus(gl.GL_FRAMEBUFFER) != gl.GL_FRAMEBUFFER_COMPLETE:
            raise GraphicsError(f"the driver cannot draw {width} x {rows} ids")
        self.size = (width, rows)

    def _upload(self, corners: NDArray[np.float32]) -> int:
        gl = self.gl
        first = 4 * np.arange(len(corners), dtype=np.uint32)[:, None]
        indices = first + np.array([0, 1, 2, 0, 2, 3], np.uint32)
        gl.glBindVertexArray(self.array)
        gl.glBindBuffer(gl.GL_ARRAY_BUFFER, self.vertices)
        gl.glBufferData(gl.GL_ARRAY_BUFFER, np.ascontiguousarray(corners, np.float32), gl.GL_STREAM_DRAW)
        gl.glEnableVertexAttribArray(0)
        gl.glVertexAttribPointer(0, 3, gl.GL_FLOAT, False, 12, None)
        gl.glBindBuffer(gl.GL_ELEMENT_ARRAY_BUFFER, self.indices)
        gl.glBufferData(gl.GL_ELEMENT_ARRAY_BUFFER, indices, gl.GL_STREAM_DRAW)
        return int(indices.size)
