"""`python3 build`: set up on first use, then run the command line.

With no argument it builds the demo clinic's site into `site/` and serves it on this machine. Any argument goes to the
command line `treadleaf` as it is: `python3 build check my/clinic.toml`.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import bootstrap

DEMO = bootstrap.ROOT / "build" / "src" / "treadleaf" / "demo" / "clinic.toml"
SITE = bootstrap.ROOT / "site"


def main(arguments: list[str]) -> int:
    """Set up and run; the exit status is the command line's own."""
    surroundings = bootstrap.set_up()
    command = "{} {}".format(Path(sys.executable).stem, Path(sys.argv[0]))

    def treadleaf(*words: str, answer: int | None = None) -> int:
        return surroundings.run(["-m", "treadleaf", *words], answer, TREADLEAF_COMMAND=command)

    if arguments:
        return treadleaf(*arguments)
    # The answer of the first, how to look at the site, is what the second does.
    return treadleaf("site", str(DEMO), "--out", str(SITE), answer=subprocess.DEVNULL) or treadleaf("serve", str(SITE))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
