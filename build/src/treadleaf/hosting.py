"""Files for whoever runs the web host: one declaration of the headers to send, written out for each kind of host.

They stand in a folder beside the finished site and are made from it: its pages' policies, its files, its address.
"""

import hashlib
import json
import re
from collections.abc import Iterator, Mapping
from functools import partial
from importlib.resources import files
from pathlib import Path
from typing import NamedTuple
from urllib.parse import quote, unquote, urlsplit

from jinja2 import Environment, PackageLoader, StrictUndefined

from treadleaf import marker, policy, serving
from treadleaf.errors import Problem

READ_ME = "README.txt"
COPIED = {"_headers": "_headers", ".htaccess": "apache.htaccess"}
"""What some hosts read in the site's own folder, by the name that it has there, and the file here that is copied."""

CHECKED = "no-cache"
KEPT = "public, max-age=31536000, immutable"
"""What a browser does with its copy of a file: it asks each time, or for a year it does not."""

_TEMPLATES = "hosting_files"
_WRITTEN = (
    *(READ_ME, "_headers", "apache.htaccess", "Caddyfile", "nginx-server.conf", "nginx-site.conf"),
    "pages-workflow.yml",
)
_AS_IT_IS = "take-back/service-worker.js"
# Letters that mean nothing of their own in any of these files. Others are legal in an address, and rare.
_PLAIN_PATH = re.compile(r"/(?:[\w.~@+-]+/)*")
_PLAIN_HOST = re.compile(r"[a-z0-9.-]+")
_REFUSED_TO_PAGES = (
    *("accelerometer", "autoplay", "camera", "display-capture", "encrypted-media", "fullscreen", "geolocation"),
    *("gyroscope", "hid", "idle-detection", "magnetometer", "microphone", "midi", "payment", "picture-in-picture"),
    *("publickey-credentials-get", "serial", "sync-xhr", "usb", "xr-spatial-tracking"),
)


class Header(NamedTuple):
    """One header that every answer carries, and in plain words what it does."""

    name: str
    value: str
    why: str


def place(site: Path) -> Path:
    """The folder for the host's files, beside the folder of a site."""
    return site.parent / f"{site.name}-hosting"


def put(site: Path, address: str, said: Mapping[str, object], folder: Path, old: Path) -> None:
    """Write the files for a finished site, which will stand at ``address``, into a new folder, and mark both as ours.

    ``said`` is what the site must say, for its mark. What somebody has copied from such a folder into the ``old`` site,
    the new one gets as it is now.
    """
    for name, text in _texts(site, address):
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text, "utf-8", newline="\n")
    marker.write(folder, address)
    copied = {name: (folder / file).read_bytes() for name, file in COPIED.items()}
    marker.write(site, address, said, {name: hashlib.sha256(data).hexdigest() for name, data in copied.items()})
    for name in marker.copied(old):
        (site / name).write_bytes(copied[name])


def odd(clinic_file: Path, address: str) -> Problem | None:
    """What is in the way where an address has letters that the hosts' files could not hold; None where nothing is."""
    try:
        host = _host(address)
    except UnicodeError:
        host = ""
    if _PLAIN_HOST.fullmatch(host) and _PLAIN_PATH.fullmatch(unquote(urlsplit(address).path)):
        return None
    what = "No files for the web host were made: the address has characters that its settings may not hold."
    mend = "Use letters, digits, dots and dashes in site_address, or set the host up by hand."
    return Problem(what, str(clinic_file), key="site_address", found=address, mend=mend)


def headers(policies: list[str]) -> tuple[Header, ...]:
    """The headers that every answer of the host should carry, for a site whose pages have these policies.

    A browser keeps to the page's own policy and to this one, so this one allows what any page needs.
    """
    nothing = [f"{name}=()" for name in _REFUSED_TO_PAGES]
    return (
        Header(
            "Content-Security-Policy",
            f"{policy.joined(policies)}; frame-ancestors 'none'",
            "The rule of the pages once more, for every file, also for the service worker, which a rule in a page does "
            "not reach: load and send nothing but this site's own. The last words are new: no other site may show "
            "these pages inside its own and lay buttons over them.",
        ),
        Header(
            "X-Frame-Options",
            "DENY",
            "Those last words, for browsers that are too old to know them, and for the copy on a visitor's device.",
        ),
        Header("X-Content-Type-Options", "nosniff", "A file is used as what the host says it is, and never guessed."),
        Header("Referrer-Policy", "no-referrer", "Whoever follows a link does not tell the other site from where."),
        Header(
            "Permissions-Policy",
            ", ".join([*nothing, "screen-wake-lock=(self)"]),
            "The pages can ask for no camera, microphone, place, movement, payment or other device. One thing is left "
            "to them: to keep the screen on, as a timer does. Choosing a photograph, also a fresh one from a "
            "telephone's camera, and a short buzz of the telephone need no permission of this kind.",
        ),
        Header("Cross-Origin-Opener-Policy", "same-origin", "A site that opened this one in a window cannot reach in."),
        Header("Cross-Origin-Resource-Policy", "same-origin", "Other sites cannot load these files into their pages."),
    )


def _texts(site: Path, address: str) -> Iterator[tuple[str, str]]:
    """Every file's name and its text."""
    templates = Environment(
        # What is made is settings, not markup; `odd` has looked at what a clinic wrote.
        autoescape=False,  # noqa: S701
        loader=PackageLoader("treadleaf", _TEMPLATES),
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    templates.filters["re_escape"] = partial(re.sub, r"([.+*?()\[\]^$|{}\\])", r"\\\1")
    facts = _facts(site, address)
    for name in _WRITTEN:
        yield name, templates.get_template(name).render(facts)
    yield _AS_IT_IS, (files("treadleaf") / _TEMPLATES / _AS_IT_IS).read_text("utf-8")


def _facts(site: Path, address: str) -> dict[str, object]:
    path = unquote(urlsplit(address).path)
    policies = [policy.stated(page.read_text("utf-8")) for page in sorted(site.rglob("*.html"))]
    return {
        "address": address,
        "host": _host(address),
        "path": path,
        "quoted_path": quote(path, safe="/~@+"),
        "folder": path.strip("/"),
        "headers": headers(policies),
        "checked": CHECKED,
        "kept": KEPT,
        "types": _types(site),
        "kept_files": _kept(site),
        "copied": COPIED,
    }


def _host(address: str) -> str:
    """The host's name as it is written in settings; UnicodeError where it cannot be."""
    return (urlsplit(address).hostname or "").encode("idna").decode()


def _kept(site: Path) -> list[str]:
    """The files that carry their hash in their name: what is in them never changes."""
    manifest = json.loads((site / "runtime" / "manifest.json").read_text("utf-8"))
    return sorted(f"runtime/{part['path']}" for part in manifest["files"].values())


def _types(site: Path) -> Mapping[str, str]:
    """The media type of each ending that the site has, without its dot; those of the preview."""
    endings = {path.suffix for path in site.rglob("*") if path.suffix}
    return {ending[1:]: serving.TYPES[ending] for ending in sorted(endings)}
