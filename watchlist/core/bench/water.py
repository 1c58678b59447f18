"""The density of water by its temperature."""

from __future__ import annotations

COLDEST, WARMEST = 0.0, 40.0
"""Degrees Celsius between which the formula holds."""


def density_of_water(celsius: float) -> float:
    """Density of air-free water in g/cm3 at 0 to 40 C (Tanaka et al. 2001, Metrologia 38, 301). Raises ValueError."""
    if not COLDEST <= celsius <= WARMEST:
        raise ValueError(f"water is known from {COLDEST:g} to {WARMEST:g} C, not at {celsius:g}")
    t = celsius
    cold = (t - 3.983035) ** 2 * (t + 301.797) / (522528.9 * (t + 69.34881))
    return 0.999974950 * (1 - cold)
