"""What a site promises its visitors about data, each promise with the rules of the audit that keep it true."""

PROMISES: dict[str, tuple[str, ...]] = {
    "own_files": ("outside", "policy", "service-worker"),
    "nothing_sent": ("sends", "policy", "handler", "runs-text"),
    "no_counting": ("outside", "sends"),
    "whole_copy": ("offline-list", "offline-hash"),
}
"""The keys of the rules by promise. The words of both stand in ``strings/``, in plain language."""
