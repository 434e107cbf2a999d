"""What is no still picture of a sensible size is refused, at once and without filling the memory."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
from pathlib import Path

import pytest
from making import photographs
from making.photographs import png, saved
from making.spoilt_files import FILES
from PIL import Image

from calculators.results import Refused
from treadleaf.measuring import decode, limits, readable


def refused(path):
    with pytest.raises(Refused) as raised:
        decode.picture(path)
    return raised.value.refusal


@pytest.mark.parametrize(("data", "key"), FILES.values(), ids=FILES)
def test_what_is_no_still_picture_is_refused(tmp_path, data, key):
    path = tmp_path / "file.jpg"
    path.write_bytes(data)
    refusal = refused(path)
    assert refusal.key == key
    assert "{" not in readable.refused(refusal.plain())


def test_what_is_no_file_is_refused_at_once(tmp_path):
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "to-the-pipe.jpg").symlink_to("pipe")
    (tmp_path / "round.jpg").symlink_to("round.jpg")
    with socket.socket(socket.AF_UNIX) as listening:
        listening.bind(str(tmp_path / "socket"))
        found = {
            name: refused(tmp_path / name).key
            for name in (".", "pipe", "to-the-pipe.jpg", "socket", "nothing.jpg", "round.jpg", "pipe/below", "a" * 300)
        }
    assert found == {
        ".": "picture_not_a_file",
        "pipe": "picture_not_a_file",
        "to-the-pipe.jpg": "picture_not_a_file",
        "socket": "picture_not_a_file",
        "nothing.jpg": "picture_missing",
        "round.jpg": "picture_unreadable",
        "pipe/below": "picture_missing",
        "a" * 300: "picture_unreadable",
    }
    for device in ("/dev/zero", "/dev/null", "/dev/tty"):
        assert refused(Path(device)).key == "picture_not_a_file"


def test_a_pipe_that_takes_a_files_place_keeps_nobody_waiting(tmp_path, monkeypatch):
    path = tmp_path / "picture.jpg"
    path.write_bytes(saved(photographs.spot(), "JPEG"))
    opened = os.open

    def swapped(name, flags):
        path.unlink()
        os.mkfifo(path)
        return opened(name, flags)

    monkeypatch.setattr(decode.os, "open", swapped)
    assert refused(path).key == "picture_not_a_file"


def test_a_file_that_may_not_be_read_is_refused(tmp_path, monkeypatch):
    path = tmp_path / "picture.jpg"
    path.write_bytes(saved(photographs.spot(), "JPEG"))

    def forbidden(name, flags):
        raise PermissionError(13, "Permission denied", str(name))

    monkeypatch.setattr(decode.os, "open", forbidden)
    assert refused(path).key == "picture_unreadable"


def test_a_file_that_is_too_long_is_refused_unread(tmp_path):
    path = tmp_path / "long.webp"
    with path.open("wb") as file:
        file.write(b"RIFF\xff\xff\xff\xffWEBPVP8X")
        file.truncate(limits.MOST_MEGABYTES * 1_000_000 + 1)
    refusal = refused(path)
    assert (refusal.key, refusal.high) == ("picture_file_too_large", {"value": 100, "unit": "megabytes"})


def test_the_limits_of_the_reader_are_as_they_were_afterwards(tmp_path):
    before = Image.MAX_IMAGE_PIXELS
    (tmp_path / "large.png").write_bytes(png(30_000, 30_000, 8, 2, b""))
    refused(tmp_path / "large.png")
    assert before == Image.MAX_IMAGE_PIXELS


WEIGH = """
import sys
from pathlib import Path
from calculators.results import Refused
from treadleaf.measuring import decode
for name in sys.argv[1:]:
    try:
        decode.picture(Path(name))
    except Refused:
        pass
print(next(row.split()[1] for row in open("/proc/self/status") if row.startswith("VmHWM")))
"""


def weight(*paths):
    """The most memory that a process held while it read these pictures, in MB."""
    done = subprocess.run([sys.executable, "-c", WEIGH, *map(str, paths)], capture_output=True, text=True, check=True)
    return int(done.stdout) * 1.024 / 1000


@pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="this system does not tell what a process has held")
def test_memory_stays_bounded(tmp_path, report):
    """A header that lies costs nothing; the largest picture that is read costs its own pixels and little more."""
    for number, (data, _) in enumerate(FILES.values()):
        (tmp_path / f"{number}.hostile").write_bytes(data)
    Image.new("L", (7071, 7071), 90).save(tmp_path / "grey.png")
    Image.new("RGB", (7071, 7071), "#506070").save(tmp_path / "colour.png")
    Image.new("RGBA", (7071, 7071), "#50607080").save(tmp_path / "clear.png")
    Image.new("RGB", (7071, 7071), "#506070").save(tmp_path / "colour.jpg")
    nothing = weight()
    hostile = weight(*tmp_path.glob("*.hostile")) - nothing
    largest = {
        name: weight(tmp_path / name) - nothing for name in ("grey.png", "colour.png", "clear.png", "colour.jpg")
    }
    report(
        f"pictures: hostile headers +{hostile:.0f} MB, 50 MP "
        + ", ".join(f"{k} +{v:.0f} MB" for k, v in largest.items())
    )
    assert hostile < 40
    assert max(largest.values()) < 330
