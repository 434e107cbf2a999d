"""The table of rules: what each looks for, why, and how a page is mended."""

import tomllib
from dataclasses import dataclass
from pathlib import Path

DATA = Path(__file__).parent / "data"


@dataclass(frozen=True)
class Rule:
    """One rule. ``stops`` says whether it stops a page of a clinic's own; every rule stops a page of the project's."""

    key: str
    what: str
    why: str
    mend: str
    stops: bool
    exempt: str = ""


RULES: dict[str, Rule] = {
    key: Rule(key, **row) for key, row in tomllib.loads((DATA / "rules.toml").read_text("utf-8")).items()
}


def explained(key: str) -> str:
    """One rule in plain text, for somebody who met it.

    Raises LookupError for a key that no rule has.
    """
    if key not in RULES:
        raise LookupError(f"no rule is called {key!r}; the rules are {', '.join(RULES)}")
    rule = RULES[key]
    on_own = "it stops the build" if rule.stops else "it asks to think it over, and nothing stops"
    rows = [f"{rule.key}: {rule.what}", f"Why:    {rule.why}", f"Mend:   {rule.mend}"]
    if rule.exempt:
        rows.append(f"Exempt: {rule.exempt}")
    rows.append(f"In a page of a clinic's own {on_own}; in a page of the project's own every rule stops the build.")
    return "\n".join(rows)


def listed() -> str:
    """Every rule on a line of its own, those that stop a clinic's page first."""
    width = max(map(len, RULES))
    order = sorted(RULES.values(), key=lambda rule: not rule.stops)
    return "\n".join(f"{rule.key:<{width}}  {'stops' if rule.stops else 'warns'}  {rule.what}" for rule in order)
