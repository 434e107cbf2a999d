"""What pages may refer to: the tables of the calculators, and the components at hand."""

from collections.abc import Iterable
from dataclasses import asdict
from datetime import date
from pathlib import Path

from calculators import bands, doses, forms, sources
from calculators.cautions import CAUTIONS
from calculators.comparison import repeat
from calculators.comparison.measuring_error import measuring_error
from calculators.footprint.indices import INDICES
from calculators.heel import measure as heel
from treadleaf import citing, drawings, places, words
from treadleaf.gate.facts import Facts

_DOSE_UNITS = {
    "sets": "sets",
    "reps": "repetitions",
    "reps_to": "repetitions",
    "seconds": "seconds",
    "seconds_to": "seconds",
    "hold_s": "seconds",
    "days_per_week": "days a week",
    "weeks": "weeks",
}


def facts(language: str, today: date | None) -> Facts:
    """What the gate holds a page against, on one day."""
    components = parts()
    return Facts(
        sources=sources.SOURCES,
        cautions=CAUTIONS,
        # What has no component of its own yet cannot run on a page.
        actions=[action for action in forms.FORMS if action.replace("_", "-") in components],
        components=components,
        required_cautions=required_cautions(),
        component_sources=_component_sources(),
        dose_sources={drill: citing.of_doses(drill) for drill in doses.DRILLS},
        table_numbers=_table_numbers(),
        fixed_sentences=(words.load(places.templates(), language)["purpose"]["sentence"],),
        today=today,
    )


def required_cautions() -> dict[str, list[str]]:
    """The cautions that each tag and each kind of page calls for."""
    required: dict[str, list[str]] = {}
    for key, caution in CAUTIONS.items():
        for tag in caution.applies:
            required.setdefault(tag, []).append(key)
    return required


def parts() -> dict[str, dict[str, bool]]:
    """What a page may place: for each component, whether it has a script and a style of its own; and every drawing."""
    ends = {"script": "js", "style": "css"}
    own = {path.name: {kind: (path / f"{path.name}.{ends[kind]}").is_file() for kind in ends} for path in components()}
    return own | {key: dict.fromkeys(ends, False) for key in drawings.DRAWINGS}


def components() -> list[Path]:
    """The folders of the components."""
    return sorted(path for path in (places.templates() / "components").iterdir() if path.is_dir())


def _component_sources() -> dict[str, frozenset[str]]:
    """The sources that a component cites by itself, in its tables or in its answer."""
    error = measuring_error("arch_index")
    answers = {
        "footprint-widths": _all([band.source for band in bands.BANDS], *(row.sources for row in INDICES.values())),
        "footprint-photo": _all(error.sources if error else (), repeat.SOURCES),
        "heel-angle": _all(heel.ANGLE_SOURCES, *heel.LIMIT_SOURCES.values(), [share.source for share in bands.SHARES]),
        "dose-table": _all(),
        "programme-volume": _all(),
    }
    return {tag: _all(citing.NUMBERED.get(tag, ()), named) for tag, named in answers.items()}


def _all(*keys: Iterable[str]) -> frozenset[str]:
    return frozenset(key for some in keys for key in some)


def _table_numbers() -> dict[str, set[tuple[str, float]]]:
    """The numbers of each source that our tables show, with their units: a page does not type them again."""
    found: dict[str, set[tuple[str, float]]] = {}
    for band in bands.BANDS:
        numbers = {(band.unit, number) for number in (band.low, band.high, band.line) if number is not None}
        found.setdefault(band.source, set()).update(numbers)
    for share in bands.SHARES:
        found.setdefault(share.source, set()).add((share.unit, share.line))
    for dose in doses.DOSES:
        row = asdict(dose)
        numbers = {(unit, float(row[key])) for key, unit in _DOSE_UNITS.items() if row[key] is not None}
        found.setdefault(dose.source, set()).update(numbers)
    return found
