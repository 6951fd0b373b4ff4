"""Lickwright: one lesson file in, everything a pupil takes home out."""

__version__ = "0.1.0"
