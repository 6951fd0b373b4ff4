"""The teacher's desk: the whole job in the browser, on the teacher's own machine."""

from lickwright.desk.folder import LessonFolder, Saved
from lickwright.desk.serve import serve
from lickwright.desk.trouble import DeskError

__all__ = ["DeskError", "LessonFolder", "Saved", "serve"]
