"""Pictures without a footprint in them: noise, flat and shaded grounds, text, and what a camera might see instead.

Every picture is made from its kind and its number alone.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
from maths.floors import Draw, around, cloud, colour, contrast, ground, lit, on_floor, placed, size
from maths.lookalikes import LOOKALIKES
from PIL import Image, ImageDraw, ImageFilter, ImageFont

SEED = 20_261_126


# -- kinds -------------------------------------------------------------------------------------------------------------


def noise(draw: Draw) -> Image.Image:
    width, height = size(draw)
    values = draw.integers(0, 256, (height, width, 3)).astype(float)
    fine = int(draw.integers(0, 4))
    if fine == 1:
        values = np.repeat(draw.normal(128, 40, (height, width, 1)), 3, 2)
    elif fine > 1:
        values = np.repeat(255 * cloud(draw, width, height, int(draw.integers(3, 60)))[..., None], 3, 2)
    return Image.fromarray(values.clip(0, 255).astype(np.uint8))


def flat(draw: Draw) -> Image.Image:
    width, height = size(draw)
    made = Image.new("RGB", (width, height), colour(draw))
    pen = ImageDraw.Draw(made)
    kind = draw.integers(0, 4)
    if kind == 1:
        pen.rectangle((0, 0, width * draw.random(), height), fill=colour(draw))
    elif kind == 2:
        wide = int(draw.integers(8, 60))
        for x in range(0, width, 2 * wide):
            pen.rectangle((x, 0, x + wide, height), fill=colour(draw))
    elif kind == 3:
        side = int(draw.integers(10, 70))
        other = colour(draw)
        for y in range(0, height, side):
            for x in range((y // side % 2) * side, width, 2 * side):
                pen.rectangle((x, y, x + side - 1, y + side - 1), fill=other)
    return made


def gradient(draw: Draw) -> Image.Image:
    width, height = size(draw)
    y, x = np.mgrid[0:height, 0:width]
    if draw.random() < 0.5:
        angle = draw.uniform(0, 2 * math.pi)
        part = (x * math.cos(angle) + y * math.sin(angle)) / math.hypot(width, height) + 0.5
    else:
        part = np.hypot(x - width * draw.random(), (y - height * draw.random()) * draw.uniform(0.3, 3)) / max(
            width, height
        )
    part = part.clip(0, 1)[..., None] ** draw.uniform(0.4, 3)
    values = np.array(colour(draw)) * part + np.array(colour(draw)) * (1 - part)
    return Image.fromarray(values.astype(np.uint8))


def text(draw: Draw) -> Image.Image:
    def paint(pen, dark, floor):
        y = 5.0
        while y < floor.height:
            high = int(draw.integers(10, 90))
            letters = "".join(draw.choice(list("abcdefghijklmnopqrstuvwxyzABCDEFGHIJ 0123456789"), 40))
            pen.text((draw.integers(-10, 60), y), letters, fill=dark, font=ImageFont.load_default(high))
            y += high * draw.uniform(1.1, 2)

    return on_floor(draw, paint)


def leaf(draw: Draw) -> Image.Image:
    lobes, teeth, depth = draw.integers(0, 6), draw.integers(0, 40), draw.uniform(0, 0.25)
    slim = draw.uniform(0.3, 0.9)

    def radii(angle):
        across = 0.5 * (1 + depth * np.cos(lobes * angle)) * (1 + 0.06 * np.cos(teeth * angle))
        return across * np.sqrt((slim * np.cos(angle)) ** 2 + np.sin(angle) ** 2) * (1 + 0.25 * np.sin(angle))

    def paint(pen, dark, floor):
        for _ in range(int(draw.integers(1, 4))):
            shape = placed(draw, around(radii), *floor.size)
            pen.polygon(shape, fill=dark)
            pen.line([shape[60], shape[180]], fill=tuple(part // 2 for part in dark), width=3)
            pen.line([shape[180], (shape[180][0] + 25, shape[180][1] + 18)], fill=dark, width=4)

    return on_floor(draw, paint)


def hand(draw: Draw) -> Image.Image:
    def paint(pen, dark, floor):
        middle = np.array(floor.size) * draw.uniform(0.45, 0.6, 2)
        palm = min(floor.size) * draw.uniform(0.12, 0.22)
        turn = draw.uniform(0, 2 * math.pi)
        pen.ellipse([*(middle - palm), *(middle + palm)], fill=dark)
        gap = draw.uniform(0.95, 1.25)
        for finger, long in enumerate((1.2, 1.9, 2.1, 1.9, 1.5)):
            angle = turn + (finger - 2) * draw.uniform(0.3, 0.42) - 0.5 * (finger == 0)
            way = np.array([math.cos(angle), math.sin(angle)])
            wide = palm * draw.uniform(0.17, 0.24)
            for along in np.linspace(gap, long, 24):
                at = middle + way * palm * along
                pen.ellipse([*(at - wide), *(at + wide)], fill=dark)

    return on_floor(draw, paint)


def shoe_sole(draw: Draw) -> Image.Image:
    waist, toe = draw.uniform(0.62, 0.9), draw.uniform(0.16, 0.2)
    split = draw.random() < 0.5

    def paint(pen, dark, floor):
        light = tuple(np.asarray(floor)[2, 2].tolist())
        along = np.linspace(-0.5, 0.5, 120)
        half = np.interp(along, [-0.5, -0.42, -0.25, 0, 0.25, 0.42, 0.5], [0, 0.7, 0.82, waist, 1, 0.85, 0]) * toe
        lean = 0.04 * np.sin(along * math.pi)
        outline = np.concatenate([np.stack([lean - half, along], 1), np.stack([lean + half, along], 1)[::-1]])
        shape = placed(draw, outline, *floor.size)
        pen.polygon(shape, fill=dark)
        # The tread: bars, or knobs, over the whole sole; often no contact at all under the waist.
        step = int(draw.integers(5, 11))
        for row in range(2, 118, step):
            left, right = np.array(shape[row]), np.array(shape[239 - row])
            if split and 40 < row < 64:
                pen.line([tuple(left), tuple(right)], fill=light, width=2 * step + 4)
            elif draw.random() < 0.9:
                pen.line(
                    [tuple(left * 0.97 + right * 0.03), tuple(right * 0.97 + left * 0.03)],
                    fill=light,
                    width=max(2, step // 3),
                )
        for part in (0.25, 0.5, 0.75):
            if draw.random() < 0.6:
                run = [
                    tuple(np.array(shape[row]) * part + np.array(shape[239 - row]) * (1 - part)) for row in (8, 60, 112)
                ]
                pen.line(run, fill=light, width=3)

    return on_floor(draw, paint)


def stones(draw: Draw) -> Image.Image:
    def paint(pen, dark, floor):
        for _ in range(int(draw.integers(1, 14))):
            wild = draw.uniform(0, 0.12, 4)
            turns = draw.uniform(0, 6.3, 4)

            slim = draw.uniform(0.5, 1)

            def radii(angle, wild=wild, turns=turns, slim=slim):
                bumps = 1 + sum(
                    w * np.cos((n + 2) * angle + t) for n, (w, t) in enumerate(zip(wild, turns, strict=True))
                )
                return 0.5 * bumps * np.hypot(slim * np.cos(angle), np.sin(angle))

            shade = int(draw.integers(-30, 30))
            fill = tuple(min(255, max(0, part + shade)) for part in dark)
            high = draw.uniform(0.2, 0.8)
            at = np.array(floor.size) * draw.random(2)
            pen.polygon([tuple(point) for point in high * 150 * around(radii) + at], fill=fill)

    return on_floor(draw, paint)


def cloth(draw: Draw) -> Image.Image:
    width, height = size(draw)
    y, x = np.mgrid[0:height, 0:width]
    folds = np.zeros((height, width))
    for _ in range(int(draw.integers(2, 7))):
        angle, long = draw.uniform(0, math.pi), draw.uniform(30, 160)
        bent = 40 * cloud(draw, width, height, 5)
        folds += np.abs(np.sin((x * math.cos(angle) + y * math.sin(angle) + bent) / long)) ** draw.uniform(1, 6)
    values = np.array(colour(draw, 60, 220)) * (0.6 + 0.5 * folds[..., None] / folds.max())
    return lit(draw, Image.fromarray(values.clip(0, 255).astype(np.uint8)))


def puddles(draw: Draw) -> Image.Image:
    width, height = size(draw)
    floor = ground(draw, width, height)
    hills = cloud(draw, width, height, int(draw.integers(3, 14)))
    wet = Image.fromarray(np.uint8(255 * (hills > draw.uniform(0.55, 0.8)))).filter(ImageFilter.GaussianBlur(1))
    floor.paste(contrast(draw, floor), (0, 0), wet)
    return lit(draw, floor)


def bare_floor(draw: Draw) -> Image.Image:
    return lit(draw, ground(draw, *size(draw)))


def paper(draw: Draw) -> Image.Image:
    """An empty sheet on a floor, perhaps with lines, a ring from a cup, or a crease."""

    def paint(pen, dark, floor):
        shape = placed(draw, np.array([[-0.35, -0.5], [0.35, -0.5], [0.35, 0.5], [-0.35, 0.5]]), *floor.size)
        pen.polygon(shape, fill=(240, 240, 236))
        middle = np.mean(shape, 0)
        kind = draw.integers(0, 4)
        if kind == 1:
            for part in np.linspace(0.08, 0.92, 14):
                left, right = ((1 - part) * np.array(shape[a]) + part * np.array(shape[b]) for a, b in ((0, 3), (1, 2)))
                pen.line([tuple(left), tuple(right)], fill=(150, 170, 210), width=1)
        elif kind == 2:
            pen.ellipse([*(middle - 45), *(middle + 45)], outline=dark, width=5)
        elif kind == 3:
            pen.line([shape[0], shape[2]], fill=(205, 205, 200), width=4)

    return on_floor(draw, paint)


def paws(draw: Draw) -> Image.Image:
    def paint(pen, dark, floor):
        for _ in range(int(draw.integers(1, 4))):
            middle, pad = np.array(floor.size) * draw.uniform(0.2, 0.8, 2), draw.uniform(20, 60)
            turn = draw.uniform(0, 2 * math.pi)
            pen.ellipse([*(middle - pad), *(middle + pad * np.array([1, 0.8]))], fill=dark)
            for toe in range(4):
                angle = turn + (toe - 1.5) * 0.55
                at = middle + 1.6 * pad * np.array([math.cos(angle), math.sin(angle)])
                pen.ellipse([*(at - 0.35 * pad), *(at + 0.35 * pad)], fill=dark)

    return on_floor(draw, paint)


def things(draw: Draw) -> Image.Image:
    """A bottle, a spoon, a key, a coin, a book: plain outlines of what lies about."""
    forms = (
        ([-0.5, -0.45, -0.1, 0.05, 0.2, 0.5], [0.13, 0.15, 0.15, 0.05, 0.05, 0.05]),
        ([-0.5, -0.4, -0.3, -0.2, 0.5], [0.02, 0.1, 0.11, 0.03, 0.025]),
        ([-0.5, -0.42, -0.34, -0.3, 0.5], [0.05, 0.12, 0.1, 0.03, 0.03]),
        ([-0.5, -0.49, 0.49, 0.5], [0.3, 0.32, 0.32, 0.3]),
        (np.linspace(-0.5, 0.5, 40), np.sqrt(0.25 - np.linspace(-0.5, 0.5, 40) ** 2)),
    )

    def paint(pen, dark, floor):
        for _ in range(int(draw.integers(1, 4))):
            along, half = forms[draw.integers(0, len(forms))]
            edge = np.stack([np.array(half), np.array(along)], 1)
            pen.polygon(placed(draw, np.concatenate([edge, (edge * [-1, 1])[::-1]]), *floor.size), fill=dark)

    return on_floor(draw, paint)


def odd_sizes(draw: Draw) -> Image.Image:
    """A few pixels, or a strip: nothing that any foot could be seen in."""
    width, height = (int(side) for side in draw.choice([1, 2, 3, 5, 17, 60], 2))
    if draw.random() < 0.3:
        width = int(draw.integers(500, 2801))
    return Image.fromarray(draw.integers(0, 256, (height, width, 3)).astype(np.uint8))


KINDS: dict[str, Callable[[Draw], Image.Image]] = {
    made.__name__: made
    for made in (
        noise, flat, gradient, text, leaf, hand, shoe_sole, stones, cloth, puddles, bare_floor, paper, paws, things,
        odd_sizes, *LOOKALIKES,
    )
}  # fmt: skip


def drawn(kind: str, number: int) -> Draw:
    """The chance of one picture."""
    return np.random.default_rng([SEED, list(KINDS).index(kind), number])


def picture(kind: str, number: int) -> Image.Image:
    """One picture, the same each time."""
    return KINDS[kind](drawn(kind, number))
