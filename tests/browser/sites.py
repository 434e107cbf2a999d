"""Sites for the browser tests: copies to spoil, and clinics beside the demo."""

from __future__ import annotations

import json
import shutil
import tomllib
from pathlib import Path

from treadleaf import hosting, offline, places, site

CHECK = "checks/wet-print.html"
HELP = "cautions/when-to-get-help.html"
WORDS = tomllib.loads((places.templates() / "strings" / "en.toml").read_text("utf-8"))


def copy(finished: Path, to: Path) -> Path:
    """A copy that a test may spoil."""
    shutil.copytree(finished, to, dirs_exist_ok=True)
    return to


def every_page(finished: Path) -> list[str]:
    """Every page of a site, and the one for wrong addresses."""
    found = sorted(file.relative_to(finished).as_posix() for file in finished.rglob("*.html"))
    assert {"404.html", "index.html", CHECK, HELP} < set(found)
    return found


def pages(finished: Path) -> list[str]:
    """Every page of a site but the one for wrong addresses."""
    return [path for path in every_page(finished) if path != "404.html"]


def for_clients(finished: Path) -> list[str]:
    """Every page but those for the clinic's own people, which are not kept on a device."""
    return [path for path in pages(finished) if not path.startswith("staff/")]


def runtime_file(finished: Path, role: str) -> Path:
    """The published file of one role, as the site's own list names it."""
    manifest = json.loads((finished / "runtime" / "manifest.json").read_text("utf-8"))
    return finished / "runtime" / manifest["files"][role]["path"]


def edited(finished: Path, name: str, old: str, new: str) -> None:
    """Change one place in one file of a copied site and list it anew, as if it had been published so."""
    file = finished / name
    text = file.read_text("utf-8")
    assert text.count(old) == 1, f"{name} has {text.count(old)} times {old!r}"
    file.write_text(text.replace(old, new), "utf-8")
    offline.put(finished)


def switched_off() -> str:
    """The service worker that takes the offline copy back, as it stands beside every site."""
    return (Path(hosting.__file__).parent / "hosting_files" / "take-back" / "service-worker.js").read_text("utf-8")


def clinic(folder: Path, **changes: object) -> Path:
    """The demo clinic's file with some of its keys changed, in a folder of its own. Keys of its tables stay."""
    folder.mkdir(parents=True, exist_ok=True)
    shutil.copytree(site.DEMO.parent, folder, dirs_exist_ok=True)
    own, start, tables = site.DEMO.read_text("utf-8").partition("\n[")
    for key, value in changes.items():
        rows = [row for row in own.splitlines() if row.startswith(f"{key} = ")]
        assert len(rows) == 1, f"the demo clinic's file has {len(rows)} rows for {key}"
        own = own.replace(rows[0], f"{key} = {json.dumps(value)}")
    (folder / "clinic.toml").write_text(own + start + tables, "utf-8")
    return folder / "clinic.toml"


def build(clinic_file: Path, out: Path) -> Path:
    site.make(clinic_file, out, lambda text: None)
    return out
