"""What a print lies on: floors and papers as textures, in display values 0 to 1. Invented, not photographed."""

from __future__ import annotations

from collections.abc import Callable

import cv2
import numpy as np

Texture = Callable[[np.random.Generator, np.ndarray, np.ndarray], np.ndarray]

CARDS = {
    "blue": (0.36, 0.55, 0.78), "green": (0.45, 0.68, 0.47), "yellow": (0.93, 0.82, 0.38), "pink": (0.90, 0.66, 0.70),
    "kraft": (0.74, 0.60, 0.44), "grey": (0.62, 0.63, 0.65), "navy": (0.17, 0.22, 0.38), "black": (0.15, 0.15, 0.16),
}  # fmt: skip


def clouds(rng: np.random.Generator, shape: tuple[int, int], cell: float) -> np.ndarray:
    """Smooth noise with mean 0 and deviation 1; `cell` is the distance in pixels over which it changes."""
    rows, columns = (max(4, int(np.ceil(size / cell)) + 3) for size in shape)
    small = rng.standard_normal((rows, columns)).astype(np.float32)
    large = cv2.resize(small, (int(columns * cell) + 1, int(rows * cell) + 1), interpolation=cv2.INTER_CUBIC)
    y, x = (int(rng.integers(0, max(1, size - need))) for size, need in zip(large.shape, shape, strict=True))
    cut = large[y : y + shape[0], x : x + shape[1]]
    return (cut - cut.mean()) / max(float(cut.std()), 1e-6)


def _resolution(x: np.ndarray) -> float:
    return 1.0 / abs(float(x[0, 1] - x[0, 0]))  # pixels a mm


def _coloured(tone: np.ndarray, colour: tuple[float, float, float]) -> np.ndarray:
    return tone[..., None] * np.asarray(colour, np.float32)


def concrete(rng, x, y, base=0.60):
    """Grey with broad blotches, fine grain, and a few pits."""
    r = _resolution(x)
    tone = 1 + 0.045 * clouds(rng, x.shape, 90 * r) + 0.03 * clouds(rng, x.shape, 22 * r)
    tone += 0.018 * clouds(rng, x.shape, 4 * r) + 0.022 * clouds(rng, x.shape, 1.3 * r)
    pits = clouds(rng, x.shape, 2.5 * r)
    tone -= 0.16 * np.clip(pits - 2.9, 0, 1)
    return _coloured(tone * base * rng.uniform(0.92, 1.08), (1.0, 0.985, 0.95))


def tile(rng, x, y, base=0.72):
    """Square tiles with joints; each tile a little different, a faint marbling, the joints darker or lighter."""
    r = _resolution(x)
    size, joint = rng.choice([150.0, 200.0, 300.0, 330.0]), rng.uniform(2.0, 4.5)
    turn = np.deg2rad(rng.uniform(-45, 45))
    u = x * np.cos(turn) + y * np.sin(turn) + rng.uniform(0, size)
    v = y * np.cos(turn) - x * np.sin(turn) + rng.uniform(0, size)
    shades = 1 + 0.018 * rng.standard_normal((64, 64))
    tone = shades[np.floor(u / size).astype(int) % 64, np.floor(v / size).astype(int) % 64]
    tone = tone + 0.018 * clouds(rng, x.shape, 35 * r) + 0.008 * clouds(rng, x.shape, 3 * r)
    away = np.minimum(np.abs((u + size / 2) % size - size / 2), np.abs((v + size / 2) % size - size / 2))
    groove = np.clip((joint / 2 + 0.5 - away), 0, 1)
    level = rng.choice([0.68, 0.76, 1.14])
    tone = tone * (1 - groove * (1 - level * (1 + 0.03 * clouds(rng, x.shape, 8 * r))))
    return _coloured(
        tone * base * rng.uniform(0.92, 1.06), tuple(rng.choice([(1, 0.97, 0.9), (0.96, 0.98, 1), (1, 0.93, 0.84)]))
    )


def wood(rng, x, y, base=0.70):
    """Boards with grain along them, a tone of their own, and narrow dark gaps."""
    r = _resolution(x)
    board, gap = rng.uniform(80, 150), rng.uniform(0.8, 1.8)
    turn = np.deg2rad(rng.uniform(0, 180))
    u = x * np.cos(turn) + y * np.sin(turn)
    v = y * np.cos(turn) - x * np.sin(turn) + rng.uniform(0, board)
    number = np.floor(v / board).astype(int)
    shades, shifts = 1 + 0.05 * rng.standard_normal(64), rng.uniform(0, 4000, 64)
    # Grain: noise that is stretched 25 times along the board, bent a little.
    strip = clouds(rng, (1400, 1400), 7).astype(np.float32)
    broad = clouds(rng, (1400, 1400), 40).astype(np.float32)
    bend = 3.0 * clouds(rng, x.shape, 160 * r)
    along = ((u + shifts[number % 64]) / 25 * 4) % 1390
    across = ((v + bend + 37 * number) * 4) % 1390
    grain = cv2.remap(strip, along.astype(np.float32), across.astype(np.float32), cv2.INTER_LINEAR)
    bands = cv2.remap(broad, along.astype(np.float32), across.astype(np.float32), cv2.INTER_LINEAR)
    tone = shades[number % 64] * (1 + 0.028 * grain + 0.035 * bands + 0.01 * clouds(rng, x.shape, 1.5 * r))
    away = np.abs((v + board / 2) % board - board / 2)
    tone = tone * (1 - 0.55 * np.clip(gap / 2 + 0.4 - away, 0, 1))
    return _coloured(
        tone * base * rng.uniform(0.9, 1.08), tuple(rng.choice([(1, 0.80, 0.57), (1, 0.86, 0.68), (0.92, 0.70, 0.52)]))
    )


def paper(rng, x, y, base=0.90):
    """A roll of plain paper: nearly even."""
    r = _resolution(x)
    tone = 1 + 0.010 * clouds(rng, x.shape, 120 * r) + 0.006 * clouds(rng, x.shape, 2 * r)
    return _coloured(
        tone * base * rng.uniform(0.97, 1.04), tuple(rng.choice([(1, 0.99, 0.96), (0.97, 0.88, 0.74), (0.99, 1, 1)]))
    )


def card(rng, x, y, colour="blue"):
    """Coloured card, larger than the picture: even, with fibres."""
    r = _resolution(x)
    tone = 1 + 0.012 * clouds(rng, x.shape, 80 * r) + 0.012 * clouds(rng, x.shape, 1.6 * r)
    return _coloured(tone * rng.uniform(0.96, 1.04), CARDS[colour])


def dark_floor(rng, x, y):
    """A dark even floor: slate, dark vinyl."""
    return concrete(rng, x, y, base=float(rng.uniform(0.20, 0.34)))


def dark_wood(rng, x, y):
    return wood(rng, x, y, base=float(rng.uniform(0.34, 0.46)))


def light_floor(rng, x, y):
    """A floor nearly as light as paper."""
    chosen = rng.choice(["tile", "wood", "concrete"])
    return {"tile": tile, "wood": wood, "concrete": concrete}[chosen](rng, x, y, base=0.80)


def white_sheet(rng, x, y):
    """The paper of a sheet on a floor: white, warm or cold."""
    tone = 1 + 0.010 * clouds(rng, x.shape, 120 * _resolution(x)) + 0.006 * clouds(rng, x.shape, 2 * _resolution(x))
    return _coloured(tone * rng.uniform(0.88, 0.95), tuple(rng.choice([(1, 0.99, 0.96), (0.99, 1, 1)])))


GROUNDS: dict[str, Texture] = {
    "concrete": concrete, "tile": tile, "wood": wood, "paper": paper, "dark floor": dark_floor, "dark wood": dark_wood,
    "light floor": light_floor, "white sheet": white_sheet,
    **{f"{name} card": (lambda rng, x, y, name=name: card(rng, x, y, name)) for name in CARDS},
}  # fmt: skip
