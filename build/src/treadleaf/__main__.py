"""``python -m treadleaf``: the same as the command ``treadleaf``."""

import os

from treadleaf.cli import main

# `python3 build` names itself here, so that help and hints show a command that works where it was typed.
main(prog_name=os.environ.get("TREADLEAF_COMMAND", "python -m treadleaf"))
