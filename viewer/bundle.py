"""A job as one file: job, photos and records in a ZIP archive, and such a file read with suspicion.

::

    job.json                the job as typed, notes included
    photos/before-01.jpg    photos by purpose, in their order
    record.json             the record of this job, a file that proves itself
    records/01.json         records that came with it from elsewhere

Names, counts and sizes are judged before anything is unpacked; no name in an archive becomes a path of ours.
"""

import io
import re
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from gettext import gettext as _

from viewer.job.reading import MAX_BYTES, Problem
from viewer.pack.archive import zip_bytes
from viewer.signoff.verify import verify
from viewer.uploads import MOST_PHOTO_BYTES, UploadError, photo

MOST_PARTS = 80
MOST_BYTES = 150_000_000
"""Of all parts together, unpacked."""
MOST_RATIO = 100
"""A part that unpacks to more times its size is a bomb; our own text packs to about a tenth."""
RATIO_FROM_BYTES = 200_000
"""Smaller parts harm nobody, however well they pack."""
MOST_RECORD_BYTES = 20_000_000
JOB, RECORD = "job.json", "record.json"
PHOTO = re.compile(r"photos/(before|sample|snag)-\d{2}\.jpg")
FOREIGN = re.compile(r"records/\d{2}\.json")
METHODS = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)
ENCRYPTED = 0x1


class BundleError(ValueError):
    """The file cannot be taken in; ``problems`` name each part and what would be accepted."""

    def __init__(self, problems: list[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("; ".join(f"{path}: {message}" for path, message in problems))


@dataclass(frozen=True, slots=True, kw_only=True)
class Bundle:
    """``photos`` are (purpose, JPEG bytes) in their order; ``record`` and ``records`` are record files."""

    job: bytes
    photos: tuple[tuple[str, bytes], ...] = ()
    record: bytes | None = None
    records: tuple[bytes, ...] = ()


def bundle_bytes(bundle: Bundle) -> bytes:
    """The archive: the same bytes for the same job."""
    files = {JOB: bundle.job}
    counts: dict[str, int] = {}
    for purpose, data in bundle.photos:
        counts[purpose] = counts.get(purpose, 0) + 1
        files[f"photos/{purpose}-{counts[purpose]:02}.jpg"] = data
    if bundle.record is not None:
        files[RECORD] = bundle.record
    files |= {f"records/{number:02}.json": data for number, data in enumerate(bundle.records, start=1)}
    return zip_bytes(files)


def read_bundle(data: bytes) -> Bundle:
    """A bundle from foreign bytes: photos decoded apart and encoded afresh, records proved.

    Raises ``BundleError`` with every problem that was found.
    """
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            parts = _judged(archive)
            read = {part.filename: _unpacked(archive, part) for part in parts}
    except (zipfile.BadZipFile, NotImplementedError, EOFError, OSError, ValueError) as error:
        if isinstance(error, BundleError):
            raise
        raise BundleError(
            [("file", _("expected a job file, or a job with its photos as a ZIP archive"))]
        ) from None
    problems: list[Problem] = []
    photos: list[tuple[str, bytes]] = []
    for name in sorted(read):
        if found := PHOTO.fullmatch(name):
            try:
                photos.append((found[1], photo(read[name])))
            except UploadError as error:
                problems.append((name, str(error)))
        elif name == RECORD or FOREIGN.fullmatch(name):
            verdict = verify(read[name])
            if not verdict.intact:
                problems.append((name, verdict.words))
    if problems:
        raise BundleError(problems)
    return Bundle(
        job=read[JOB],
        photos=tuple(photos),
        record=read.get(RECORD),
        records=tuple(read[name] for name in sorted(read) if FOREIGN.fullmatch(name)),
    )


def _judged(archive: zipfile.ZipFile) -> list[zipfile.ZipInfo]:
    """The parts, after everything was judged that can be without unpacking."""
    parts = archive.infolist()
    if len(parts) > MOST_PARTS:
        raise BundleError([("file", _("expected at most {most} parts").format(most=MOST_PARTS))])
    if sum(part.file_size for part in parts) > MOST_BYTES:
        most = MOST_BYTES // 1_000_000
        raise BundleError([("file", _("unpacks to more than {most} MB").format(most=most))])
    names = [part.filename for part in parts]
    problems = [problem for part in parts for problem in _part_problems(part)]
    problems += [(name, _("stands in the archive twice")) for name in set(names) if names.count(name) > 1]
    if JOB not in names:
        problems.append((JOB, _("missing; expected the job")))
    if problems:
        raise BundleError(sorted(problems))
    return parts


def _part_problems(part: zipfile.ZipInfo) -> Iterator[Problem]:
    name, most = part.filename, _most_bytes(part.filename)
    shown = "".join(sign if sign.isprintable() else "?" for sign in name)[:80]
    if most is None:
        yield shown, _("unknown; known here: job.json, photos/before-01.jpg, record.json, records/01.json …")
    elif part.file_size > most:
        yield shown, _("expected at most {most} MB").format(most=most // 1_000_000)
    if part.file_size > RATIO_FROM_BYTES and part.file_size > MOST_RATIO * part.compress_size:
        yield shown, _("unpacks to more than {ratio} times its size").format(ratio=MOST_RATIO)
    if part.flag_bits & ENCRYPTED or part.compress_type not in METHODS:
        yield shown, _("expected a part without password, stored or deflated")


def _most_bytes(name: str) -> int | None:
    if name == JOB:
        return MAX_BYTES
    if PHOTO.fullmatch(name):
        return MOST_PHOTO_BYTES
    return MOST_RECORD_BYTES if name == RECORD or FOREIGN.fullmatch(name) else None


def _unpacked(archive: zipfile.ZipFile, part: zipfile.ZipInfo) -> bytes:
    """The bytes of a part, and never more than it says of itself: its head may lie."""
    with archive.open(part) as stream:
        data = stream.read(part.file_size + 1)
    if len(data) != part.file_size:
        raise BundleError([(part.filename, _("is not of the size that it says"))])
    return data
