"""What a refusal may be called.

Only pages, builders and tests need this table; the calculators name their keys themselves.
"""

from calculators.data import table

# In the order of data/errors.toml.
REFUSAL_KEYS: tuple[str, ...] = tuple(table("errors"))
