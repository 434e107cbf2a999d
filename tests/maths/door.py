"""The calculators' door as the tests knock on it: plain values in, a result out."""

from __future__ import annotations

import json
from typing import Any

from calculators.api import call


class Door:
    """The door of one action."""

    def __init__(self, action: str) -> None:
        self.action = action

    def ask(self, values: object) -> dict[str, Any]:
        """The answer to an input: a result or a refusal."""
        answer: dict[str, Any] = json.loads(call(json.dumps({"schema": 1, "action": self.action, "input": values})))
        return answer

    def result(self, values: object) -> dict[str, Any]:
        """The result for an input that must not be refused."""
        answer = self.ask(values)
        assert answer["ok"], answer
        found: dict[str, Any] = answer["result"]
        return found


def at(data: Any, path: str) -> Any:
    """What stands in a result at a path, such as "weeks.0.sessions.value"."""
    for step in path.split("."):
        data = data[int(step)] if isinstance(data, list) else data[step]
    return data
