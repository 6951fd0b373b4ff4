"""Checks of the theory room, most of them against music21."""
