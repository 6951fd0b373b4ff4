"""What does a pupil take home, and how is it built from one lesson?"""

from lickwright.pack.build import Built, Look, Progress, build_pack
from lickwright.pack.folder import PackFolderError
from lickwright.pack.paper import HandoutError, paper_remarks
from lickwright.pack.playlist import AudioWish
from lickwright.pack.products import Shown
from lickwright.pack.sheets import worksheet_pdf
from lickwright.pack.transposed import home_key, in_mode_of, lesson_in_key
from lickwright.pack.worksheet import MOST_SEED, Worksheet, make_worksheet
from lickwright.sound import AudioFormat

__all__ = [
    "MOST_SEED",
    "AudioFormat",
    "AudioWish",
    "Built",
    "HandoutError",
    "Look",
    "PackFolderError",
    "Progress",
    "Shown",
    "Worksheet",
    "build_pack",
    "home_key",
    "in_mode_of",
    "lesson_in_key",
    "make_worksheet",
    "paper_remarks",
    "worksheet_pdf",
]
