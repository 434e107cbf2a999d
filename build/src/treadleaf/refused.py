"""What an operating system would not do, told as a problem that somebody can mend."""

import errno
from pathlib import Path

from treadleaf import places
from treadleaf.errors import Problem

_MENDS = {
    errno.EACCES: "Choose a place where you may write, or let yourself write there.",
    errno.EBUSY: "Something holds this file or folder, or it is a mount point: close what uses it, or choose another.",
    errno.ENAMETOOLONG: "Choose a shorter name.",
    errno.ENOENT: "Look whether the name is right.",
    errno.ENOSPC: "Make room on this disk, or choose a place on another.",
    errno.ENOTDIR: "A part of this path is a file: choose a path through folders only.",
    errno.EEXIST: "A file stands where a folder should be made: move it, or choose another place.",
    errno.EROFS: "Nothing can be written on this drive: choose a place on another.",
}
_MENDS[errno.EPERM] = _MENDS[errno.EACCES]
_MENDS[errno.EXDEV] = _MENDS[errno.EBUSY]
"""What to do about what a system refuses most."""


def problem(failure: OSError) -> Problem:
    """What the system would not do, in words."""
    file = str(failure.filename or "")
    if file and Path(file).is_relative_to(places.cache()):
        mend = "Name a folder where you may write in the environment variable TREADLEAF_CACHE."
    else:
        mend = _MENDS.get(failure.errno or 0, "")
    return Problem(f"The system refused: {failure.strerror or failure}.", file, mend=mend)
