"""Hardstand: look over older sailing boats ashore, price the work, and defend an offer."""

__version__ = "0.1.0"
