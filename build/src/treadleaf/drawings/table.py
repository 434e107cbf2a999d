"""Every drawing: its key, the scene that draws it, and the pose. Title and description come from ``words.toml``."""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache, partial
from importlib.resources import files
from typing import Any

from treadleaf.drawings import scenes_cautions as cautions
from treadleaf.drawings import scenes_checks as checks
from treadleaf.drawings import scenes_exercises as exercises
from treadleaf.drawings import scenes_learn as learn
from treadleaf.drawings import scenes_photo as photo
from treadleaf.drawings import scenes_touch as touch
from treadleaf.drawings import svg
from treadleaf.drawings.figure_side import Leg
from treadleaf.drawings.foot_side import SidePose
from treadleaf.drawings.scene import WIDTH, Say, Scene
from treadleaf.drawings.strokes import Label

_UP = SidePose(arch=5, ankle=14, big=(22, 0), lesser=(26, 0))
_DOWN = SidePose(arch=6, ankle=-38, big=(-4, 0), lesser=(-4, 0))
_DOMED = SidePose(arch=9, ankle=-38, big=(-10, -4), lesser=(-10, -8))
# The heel on the floor, the ball on the towel.
_BIG_CURLS = SidePose(lean=2.3, ankle=2.3, big=(24, -104), lesser=(26, 0))
_LESSER_CURL = SidePose(arch=2, lean=2.3, ankle=2.3, big=(4, 0), lesser=(16, -98))
_BIG_REACHES = SidePose(lean=2.3, ankle=2.3, big=(18, 0))
_LESSER_LONG = SidePose(arch=2, lean=2.3, ankle=2.3, lesser=(-6, -2))

DRAWINGS: dict[str, Callable[[Say], Scene]] = {
    "wet-print-gap": partial(checks.wet_prints, left=0.0, right=0.0),
    "wet-print-narrow": partial(checks.wet_prints, left=0.3, right=0.3),
    "wet-print-wide": partial(checks.wet_prints, left=0.97, right=0.97),
    "wet-print-differ": partial(checks.wet_prints, left=0.3, right=0.95),
    "print-step": photo.print_step,
    "print-photo": photo.print_photo,
    "print-framed": photo.print_framed,
    "print-spoilt": photo.print_spoilt,
    "arch-reach": checks.arch_reach,
    "arch-reach-finger": checks.arch_reach_finger,
    "heel-photo": checks.heel_photo,
    "heels-straight": partial(checks.heels_from_behind, left=0.0, right=0.0),
    "heels-tilted": partial(checks.heels_from_behind, left=13.0, right=13.0),
    "heels-one-tilted": partial(checks.heels_from_behind, left=0.0, right=13.0),
    "dome-feet-up": partial(exercises.dome, foot=_UP, outward=24, phase="up"),
    "dome-point-down": partial(exercises.dome, foot=_DOWN, outward=-22, phase="down"),
    "dome-hold": partial(exercises.dome, foot=_DOMED, outward=-9, phase="hold"),
    "towel-curl-big-toe-start": partial(exercises.towel_curl, foot=_BIG_REACHES, work="big", start=True),
    "towel-curl-big-toe": partial(exercises.towel_curl, foot=_BIG_CURLS, work="big"),
    "towel-curl-lesser-toes-start": partial(exercises.towel_curl, foot=_LESSER_LONG, work="lesser", start=True),
    "towel-curl-lesser-toes": partial(exercises.towel_curl, foot=_LESSER_CURL, work="lesser"),
    "short-foot-before": partial(exercises.short_foot, arch=4.0, before=None),
    "short-foot-after": partial(exercises.short_foot, arch=9.5, before=4.0),
    "heel-raise-start": partial(exercises.heel_raise, up=0.0),
    "heel-raise-top": partial(exercises.heel_raise, up=38.0),
    "single-leg-stance-start": partial(exercises.single_leg_stance, lifted=None),
    "single-leg-stance": partial(exercises.single_leg_stance, lifted=Leg(hip=50, knee=58, ankle=4)),
    "touch-point": touch.point,
    "touch-palm": touch.palm,
    "touch-ball": touch.ball,
    "arch-parts": learn.arch_parts,
    "arch-three": partial(learn.arch_three, heights=(("low", 1.5), ("middle", 6.5), ("high", 12.0))),
    "child-tiptoe": partial(learn.child_tiptoe, standing=0.6, on_tiptoe=9.0),
    "insole-shoe": learn.insole_shoe,
    "tick-diary": partial(learn.tick_diary, done=(7, 3)),
    "sole-mirror": cautions.sole_mirror,
    "pain-scale": cautions.pain_scale,
    "cramp-calf": cautions.cramp_calf,
}


@dataclass(frozen=True)
class Drawing:
    """One finished drawing: its key, its text alternative, its SVG as text for a page, and what to say below it."""

    key: str
    title: str
    description: str
    svg: str
    caption: str = ""


@cache
def draw(key: str) -> Drawing:
    """The drawing of a key of ``DRAWINGS``."""
    _, title, description = _told(key)
    return Drawing(key, title, description, svg.write(element(key)), _words()["drawings"][key].get("caption", ""))


def element(key: str) -> svg.Element:
    """The drawing as an element, before it is written."""
    scene, title, description = _told(key)
    inside = [one.element() for one in scene.marks]
    return svg.picture(WIDTH, scene.height, inside, key=key, title=title, description=description, kind="drawing")


@cache
def silent(key: str) -> str:
    """The drawing without any words, as SVG for a place where the words beside it say the same."""
    scene, _, _ = _told(key)
    inside = [one.element() for one in scene.marks if not isinstance(one, Label)]
    return svg.write(svg.silent(WIDTH, scene.height, inside, kind="drawing"))


def every() -> list[Drawing]:
    return [draw(key) for key in DRAWINGS]


@cache
def _told(key: str) -> tuple[Scene, str, str]:
    """The scene with its title and description, their gaps filled by what the pose says."""
    words = _words()
    scene = DRAWINGS[key](words["labels"])
    gaps = {name: words["phrases"][phrase] for name, phrase in scene.facts.items()}
    told = words["drawings"][key]
    return scene, told["title"].format(**gaps), told["description"].format(**gaps)


@cache
def _words() -> dict[str, Any]:
    return tomllib.loads((files("treadleaf.drawings") / "words.toml").read_text("utf-8"))
