"""`python3 build`: set up on first use, then run the command line.

With no argument it builds the demo clinic's site into `site/` and serves it on this machine. Any argument goes to the
command line `treadleaf` as it is: `python3 build check my/clinic.toml`.
"""

from __future__ import annotations

import sys

import bootstrap

DEMO = bootstrap.ROOT / "build" / "src" / "treadleaf" / "demo" / "clinic.toml"
SITE = bootstrap.ROOT / "site"


def main(arguments: list[str]) -> int:
    """Set up and run; the exit status is the command line's own."""
    surroundings = bootstrap.set_up()
    if arguments:
        return surroundings.run(["-m", "treadleaf", *arguments])
    return surroundings.run(["-m", "treadleaf", "site", str(DEMO), "--out", str(SITE)]) or surroundings.run(
        ["-m", "treadleaf", "serve", str(SITE)]
    )


sys.exit(main(sys.argv[1:]))
