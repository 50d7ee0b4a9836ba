"""Pictures that people send: looked into, decoded apart from the application, encoded afresh.

The bytes are opened in a process of its own with little memory and time, by an explicit list of formats; what
comes back is a new file with nothing of the old one but its pixels: no place, no camera, no comment.
"""

import multiprocessing

from viewer.uploads_worker import GIVEN, Reading, answer, read_photo, read_signature

MOST_PHOTO_BYTES = 25 << 20
MOST_SIGNATURE_BYTES = 200_000
MOST_ANSWER_BYTES = 64 << 20
TIMEOUT_S = 60.0

__all__ = ["MOST_PHOTO_BYTES", "MOST_SIGNATURE_BYTES", "UploadError", "apart", "photo", "signature"]


class UploadError(ValueError):
    """The bytes cannot be used; the message says what would be accepted."""


def photo(data: bytes) -> bytes:
    """JPEG bytes of a photo sent as JPEG, PNG or WebP. Raises ``UploadError``."""
    if len(data) > MOST_PHOTO_BYTES:
        raise UploadError(f"expected at most {MOST_PHOTO_BYTES >> 20} MB")
    return apart(read_photo, data)


def signature(data: bytes) -> bytes:
    """PNG bytes, grey, of a signature drawn on our canvas. Raises ``UploadError``."""
    if len(data) > MOST_SIGNATURE_BYTES:
        raise UploadError("expected a drawn signature of at most 200 kB")
    return apart(read_signature, data)


def apart(read: Reading, data: bytes) -> bytes:
    """What ``read`` makes of foreign bytes, in a process that may do little. Raises ``UploadError``."""
    context = multiprocessing.get_context("spawn")
    hears, tells = context.Pipe(duplex=False)
    process = context.Process(target=answer, args=(read, data, tells), daemon=True)
    process.start()
    tells.close()
    try:
        # bytes, never objects: whoever took that process over could send an object that acts on arrival
        result = hears.recv_bytes(MOST_ANSWER_BYTES) if hears.poll(TIMEOUT_S) else None
    except (EOFError, OSError):  # it died at its limits, or said more than any picture is
        result = None
    finally:
        process.kill()
        process.join()
        hears.close()
    if result is None:
        raise UploadError("this picture takes more memory or time to open than a photo does")
    if result[:1] != GIVEN:
        raise UploadError(result[1:].decode("utf-8", "replace"))
    return result[1:]
