"""One bracketed root finder for whatever has no closed form."""

from __future__ import annotations

from collections.abc import Callable

_STEPS = 100  # bisection alone brings 1 down to 1e-13 in 44; the rest is margin


def root_between(
    function: Callable[[float], float], low: float, high: float, tolerance: float = 1e-13
) -> float:
    """Return where `function` crosses zero between `low` and `high`, to `tolerance`.

    Inverse quadratic steps where three points allow one, else a bisection, by the rule of
    T. R. Chandrupatla (Advances in Engineering Software 28, 1997). The ends must differ in sign.
    """
    near, far = low, high
    at_near, at_far = function(near), function(far)
    if at_near == 0.0 or at_far == 0.0:
        return near if at_near == 0.0 else far
    if (at_near > 0.0) == (at_far > 0.0):
        raise ArithmeticError("no change of sign between the ends")
    step = 0.5
    for _ in range(_STEPS):
        point = near + step * (far - near)
        at_point = function(point)
        if (at_point > 0.0) == (at_near > 0.0):
            old, at_old = near, at_near
        else:
            old, at_old, far, at_far = far, at_far, near, at_near
        near, at_near = point, at_point
        least = 0.5 * tolerance / abs(far - near)
        if at_near == 0.0 or least > 0.5:
            break
        place = (near - far) / (old - far)
        level = (at_near - at_far) / (at_old - at_far)
        step = 0.5
        if level**2 < place and (1.0 - level) ** 2 < 1.0 - place:
            reach = (old - near) / (far - near)
            step = at_near / (at_far - at_near) * at_old / (at_far - at_old)
            step += reach * at_near / (at_old - at_near) * at_far / (at_old - at_far)
        step = min(1.0 - least, max(least, step))
    return near if abs(at_near) < abs(at_far) else far
