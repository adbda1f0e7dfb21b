"""Constants that more than one calculation uses, each with its source."""

GRAVITY = 9.80665
"""Standard acceleration of free fall, [m/s2]; ISO 80000-3 (exact by convention)."""

STANDARD_ATMOSPHERE = 101_325.0
"""Pressure of the standard atmosphere, [Pa]; ISO 2533 (exact by convention)."""

ZERO_CELSIUS = 273.15
"""0 °C on the kelvin scale, [K]; SI Brochure (exact)."""
