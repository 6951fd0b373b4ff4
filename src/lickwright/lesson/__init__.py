"""What does a lesson's text say; write it back tidy; what is wrong in it and how to mend it."""

from lickwright.lesson.blocks import Band, Neck, Placement, Show, Solo, Stage
from lickwright.lesson.lick import Lick
from lickwright.lesson.mend import Mended, mend_text
from lickwright.lesson.phrase_block import phrase_block
from lickwright.lesson.problems import Fix, Problem
from lickwright.lesson.read import Block, Lesson, ProsePart, Reading, read_lesson
from lickwright.lesson.settings import Setting, Settings
from lickwright.lesson.starter import starter
from lickwright.lesson.tidy import lick_lines, music_lines
from lickwright.lesson.values import SettingError, read_tuning
from lickwright.lesson.write import tidy_text

__all__ = [
    "Band",
    "Block",
    "Fix",
    "Lesson",
    "Lick",
    "Mended",
    "Neck",
    "Placement",
    "Problem",
    "ProsePart",
    "Reading",
    "Setting",
    "SettingError",
    "Settings",
    "Show",
    "Solo",
    "Stage",
    "lick_lines",
    "mend_text",
    "music_lines",
    "phrase_block",
    "read_lesson",
    "read_tuning",
    "starter",
    "tidy_text",
]
