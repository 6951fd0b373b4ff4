"""Where on the neck can it be played?"""

from lickwright.neck.forms import Form, Grip, grips
from lickwright.neck.pattern import Pattern, Place, best_pattern, patterns, standard_intervals

__all__ = [
    "Form",
    "Grip",
    "Pattern",
    "Place",
    "best_pattern",
    "grips",
    "patterns",
    "standard_intervals",
]
