"""What a site promises its visitors about data, each promise with the rules of the last look that keep it true."""

from treadleaf.audit import rules

PROMISES: dict[str, tuple[str, ...]] = {
    "own_files": ("outside", "policy", "service-worker"),
    "nothing_sent": ("sends", "policy", "handler", "runs-text"),
    "no_counting": ("outside", "sends"),
    "whole_copy": ("offline-list", "offline-hash"),
}
"""The rules by promise. The words of a promise stand in ``strings/``, those of a rule in the audit's own table."""


def checked() -> dict[str, list[str]]:
    """For each promise, what each of its rules says, in the words that the audit's own answer has."""
    return {promise: [rules.RULES[key].says for key in keys] for promise, keys in PROMISES.items()}
