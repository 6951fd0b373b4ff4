"""What has each pupil played, and how does it come along over the weeks?"""

from lickwright.shelf.plot import progress_plot
from lickwright.shelf.shelf import KeptTake, Shelf, ShelfError, open_shelf

__all__ = ["KeptTake", "Shelf", "ShelfError", "open_shelf", "progress_plot"]
