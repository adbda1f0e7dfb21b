"""A smooth curve through points that never swings where the points do not.

Monotone cubic interpolation (PCHIP). Written here, and not taken from scipy, because loading
scipy's interpolation takes longer than a whole answer at the pump; the tests compare the two.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gaugewalk.errors import ArgumentError
from gaugewalk.physics.arguments import Array, complete


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Monotone:
    """The curve: its points and the slope at each."""

    x: Array
    y: Array
    slope: Array

    def __call__(self, x: Array) -> Array:
        """Return the curve's height at x; the caller keeps x within the points."""
        k = np.clip(np.searchsorted(self.x, x, side="right") - 1, 0, len(self.x) - 2)
        return self.in_segment(k, x - self.x[k])

    def in_segment(self, k: NDArray[np.intp], offset: Array) -> Array:
        """Return the height at an offset from the left point of segment k."""
        c0, c1, c2, c3 = self.coefficients()
        height = ((c3[k] * offset + c2[k]) * offset + c1[k]) * offset + c0[k]
        # Rounding must not carry a height past its segment's ends, or it would have no inverse.
        left, right = self.y[k], self.y[k + 1]
        return np.clip(height, np.minimum(left, right), np.maximum(left, right))[()]

    def coefficients(self) -> tuple[Array, Array, Array, Array]:
        """Return the coefficients of each segment's cubic, lowest power first."""
        h = np.diff(self.x)
        rise = np.diff(self.y) / h
        left, right = self.slope[:-1], self.slope[1:]
        return (
            self.y[:-1],
            left,
            (3 * rise - 2 * left - right) / h,
            (left + right - 2 * rise) / h**2,
        )

    def offset_at(self, k: int, height: Array) -> Array:
        """Return where segment k, which rises or falls throughout, reaches a height.

        Newton's steps, kept inside a bracket that every step narrows.
        """
        c0, c1, c2, c3 = (float(c[k]) for c in self.coefficients())
        width = float(self.x[k + 1] - self.x[k])
        left, right = float(self.y[k]), float(self.y[k + 1])
        sign = 1.0 if right > left else -1.0
        low, high = np.zeros_like(height), np.full_like(height, width)
        offset = width * (height - left) / (right - left) if right != left else high
        for _ in range(60):
            excess = sign * (((c3 * offset + c2) * offset + c1) * offset + c0 - height)
            low, high = np.where(excess <= 0, offset, low), np.where(excess >= 0, offset, high)
            steep = sign * ((3 * c3 * offset + 2 * c2) * offset + c1)
            with np.errstate(divide="ignore", invalid="ignore"):
                step = offset - excess / steep
            inside = (step >= low) & (step <= high)
            following = np.where(inside, step, (low + high) / 2)
            moved = np.abs(following - offset)
            offset = following
            if not (moved > 1e-10 * width).any():
                break
        return np.asarray(offset)

    def inverse(self, height: Array) -> Array:
        """Return where a curve that rises or falls throughout has a height; NaN where nowhere.

        Raises
        ------
        ArgumentError
            The curve turns back somewhere.
        """
        steps = np.diff(self.y)
        if not ((steps > 0).all() or (steps < 0).all()):
            raise ArgumentError("only a curve that rises or falls throughout has an inverse.")
        heights = np.atleast_1d(height)
        result = np.full(heights.shape, np.nan)
        for k in range(len(steps)):
            bottom, top = sorted((self.y[k], self.y[k + 1]))
            hit = (heights >= bottom) & (heights <= top)
            if hit.any():
                result[hit] = self.x[k] + self.offset_at(k, heights[hit])
        return result.reshape(np.shape(height))[()]


def monotone_through(x: Array, y: Array) -> Monotone:
    """Return the monotone curve through points with rising x.

    Raises
    ------
    ArgumentError
        Fewer than two points, a gap, or x not rising.

    References
    ----------
    .. [1] F. N. Fritsch and J. Butland, A method for constructing local monotone piecewise cubic
       interpolants, SIAM J. Sci. Stat. Comput. 5 (1984) 300-304; end slopes after Moler,
       Numerical Computing with MATLAB (2004), section 3.6.

    Examples
    --------
    >>> curve = monotone_through(np.array([0.0, 1.0, 2.0]), np.array([0.0, 1.0, 1.0]))
    >>> float(curve(np.array(1.5)))
    1.0
    """
    xs, ys = complete("x", x), complete("y", y)
    if xs.ndim != 1 or xs.shape != ys.shape or len(xs) < 2:
        raise ArgumentError("x and y need two points or more, as many of one as of the other.")
    if (np.diff(xs) <= 0).any():
        raise ArgumentError("x must rise from point to point.")
    return Monotone(x=xs, y=ys, slope=_slopes(xs, ys))


def _slopes(x: Array, y: Array) -> Array:
    """Return the slope at each point: the weighted harmonic mean of the chords beside it."""
    h, rise = np.diff(x), np.diff(y) / np.diff(x)
    if len(x) == 2:
        return np.full(2, rise[0])
    w1, w2 = 2 * h[1:] + h[:-1], h[1:] + 2 * h[:-1]
    same = rise[:-1] * rise[1:] > 0
    with np.errstate(divide="ignore", invalid="ignore"):
        mean = (w1 + w2) / (w1 / rise[:-1] + w2 / rise[1:])
    inner = np.where(same, mean, 0.0)
    first = _end_slope(h[0], h[1], rise[0], rise[1])
    last = _end_slope(h[-1], h[-2], rise[-1], rise[-2])
    return np.concatenate(([first], inner, [last]))


def _end_slope(h0: float, h1: float, rise0: float, rise1: float) -> float:
    """Return the slope at an end by a parabola, bent back where it would overshoot."""
    slope = ((2 * h0 + h1) * rise0 - h0 * rise1) / (h0 + h1)
    if slope * rise0 <= 0:
        return 0.0
    if rise0 * rise1 <= 0 and abs(slope) > 3 * abs(rise0):
        return 3 * rise0
    return float(slope)
