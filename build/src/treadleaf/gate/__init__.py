"""The gate: it reads a page of the handout and says what must be mended before clients see it.

`examine` reads one file; every rule has a key, a reason and a mend in `data/rules.toml`.
"""
