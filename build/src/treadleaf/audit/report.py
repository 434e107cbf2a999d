"""What the last look found, for people and for programs."""

from collections.abc import Iterator
from dataclasses import asdict

from treadleaf.audit.last_look import Looked
from treadleaf.audit.rules import RULES
from treadleaf.audit.weight import BUDGETS, RUNTIME


def as_data(found: Looked) -> dict[str, object]:
    """Everything that was found as plain data: one row a rule, one a weight, one a fault."""
    rules = [
        {"key": key, "says": RULES[key].says, "faults": count, "unchecked": found.unchecked.get(key, "")}
        for key, count in found.counted().items()
    ]
    return {
        "rules": rules,
        "budgets": {key: asdict(budget) for key, budget in BUDGETS.items()},
        "weights": [asdict(weight) for weight in found.weights],
        "problems": [fault.as_dict() for fault in found.faults],
    }


def text(found: Looked) -> str:
    """A table of the rules, then the sizes, then each fault with its file and how to mend it."""
    return "\n".join([*_rules(found), "", *_sizes(found), *(f"\n{fault}" for fault in found.faults), "", _end(found)])


def _rules(found: Looked) -> Iterator[str]:
    for key, count in found.counted().items():
        state = f"{count} fault{'s' * (count != 1)}" if count else "ok"
        if key in found.unchecked:
            yield f"{'-':>10}  {RULES[key].says}\n{'':>12}not checked here: {found.unchecked[key]}"
        else:
            yield f"{state:>10}  {RULES[key].says}"


def _sizes(found: Looked) -> Iterator[str]:
    yield "What a visitor loads, gzipped"
    for key, budget in BUDGETS.items():
        weights = [weight for weight in found.weights if weight.budget == key]
        if weights:
            most = max(weights, key=lambda weight: weight.bytes)
            marks = f"aim {_kb(budget.target)}, at most {_kb(budget.limit)} kB"
            name = "" if most.name == RUNTIME else f" ({most.name})"
            many = f"{len(weights)} pages, the heaviest" if len(weights) > 1 else "in all"
            yield f"  {budget.title}: {many} {_kb(most.bytes)} kB{name}; {marks}"
            over = sum(weight.bytes > budget.target for weight in weights)
            if over:
                yield f"{'':>12}above the aim: {over} of {len(weights)}"
            for weight in weights:
                if weight.too_heavy:
                    yield f"    {_kb(weight.bytes):>8} kB  {weight.name}  too heavy"


def _kb(size: int) -> str:
    return f"{size / 1000:.1f}".removesuffix(".0")


def _end(found: Looked) -> str:
    count = len(found.faults)
    if count:
        return f"{count} fault{'s' * (count != 1)}."
    return "Nothing is wrong in what was checked." if found.unchecked else "Nothing is wrong."
