"""The straight soft edge of a shadow, moved to where the ground fits it best."""

import math

from calculators.footprint.samples import Fit, Held, Samples, Step

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Sequence

# Own choices: most change of one round and bounds of the softness, in units (radians, powers of e).
_MOST_SHIFT, _MOST_TURN, _MOST_SOFTER = 1.5, 0.12, 0.5
_HARDEST, _SOFTEST = 0.25, 4.0
# A shadow takes six sevenths of the light at most (a logarithm).
HIGHEST = 2.0


class Line:
    """A step that is moved, turned and made softer or harder until the ground fits; by Gauss and Newton's rounds."""

    def __init__(
        self,
        samples: Samples,
        known: list[Step],
        step: Step,
        level: Held,
        unit: float = 1.0,
        *,
        height: float | None = None,
    ) -> None:
        """Begin with a step.

        Args:
            samples: the ground.
            known: other steps in it, which stay.
            step: to begin with.
            level: of a print on the ground.
            unit: the length that lengths are held by: a step is softer than a quarter of it and harder than four.
            height: of the step, where it is known already; the ground it stands on then begins at 0.
        """
        self.step, self.level, self.unit = step, level, unit
        self._samples = samples
        self._terms = [*samples.terms, *[samples.step(one) for one in known]]
        self._centre = _middle(samples.xs), _middle(samples.ys)
        terms = [*self._terms, samples.step(step)]
        if height is None:
            self._fit = samples.first(terms, level.begins)
        else:
            factors = [0.0] * len(self._terms) + [height]
            self._fit = Fit(factors, samples.left(terms, factors), level.begins)

    def sharpen(self, spreads: tuple[float, ...]) -> None:
        """Take a round with each spread.

        Each solves for the ground, the print, the height of this step and its three changes at once. A change is held
        to what the straight line of a derivative can speak for.
        """
        for spread in spreads:
            term, moves = self._moves()
            at = len(self._terms)
            height = self._fit.factors[at]
            tried = [*self._terms, term, *[[height * part for part in move] for move in moves]]
            self._fit = self._samples.again(tried, self._fit, spread, self.level)
            self.step = self._moved(*self._fit.factors[at + 1 :])

    def misfit(self) -> float:
        """How many places are neither ground nor print."""
        return self._fit.misfit()

    def fit(self) -> Fit:
        """The ground with this step in it where it has come to."""
        return self._samples.settled([*self._terms, self._samples.step(self.step)], self._fit, self.level)

    def _moves(self) -> tuple[list[float], list[list[float]]]:
        """The term of the step, and how it changes with a shift, a turn about the middle and a factor of softness."""
        step, (centre_x, centre_y) = self.step, self._centre
        term: list[float] = []
        shift: list[float] = []
        angle: list[float] = []
        soft: list[float] = []
        for x, y in zip(self._samples.xs, self._samples.ys, strict=True):
            past = x * step.nx + y * step.ny - step.offset
            bent = math.tanh(past / step.softness)
            slope = 0.5 * (1 - bent * bent) / step.softness
            term.append(0.5 + 0.5 * bent)
            shift.append(-slope)
            angle.append(slope * ((y - centre_y) * step.nx - (x - centre_x) * step.ny))
            soft.append(-slope * past)
        return term, [shift, angle, soft]

    def _moved(self, shift: float, angle: float, soft: float) -> Step:
        """The step after such changes."""
        step, unit, (centre_x, centre_y) = self.step, self.unit, self._centre
        turned = math.atan2(step.ny, step.nx) + _held(angle, _MOST_TURN)
        nx, ny = math.cos(turned), math.sin(turned)
        middle = step.offset - centre_x * step.nx - centre_y * step.ny + _held(shift, _MOST_SHIFT * unit)
        softness = step.softness * math.exp(_held(soft, _MOST_SOFTER))
        softness = min(_SOFTEST * unit, max(_HARDEST * unit, softness))
        return Step(nx, ny, middle + centre_x * nx + centre_y * ny, softness)


def _held(change: float, most: float) -> float:
    return min(most, max(-most, change))


def _middle(places: "Sequence[float]") -> float:
    return (min(places) + max(places)) / 2
