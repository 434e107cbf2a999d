"""``python -m treadleaf``: the same as the command ``treadleaf``."""

from treadleaf.cli import main

main()
