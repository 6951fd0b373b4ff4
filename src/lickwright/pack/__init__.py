"""What does a pupil take home, and how is it built from one lesson?"""

from lickwright.pack.build import Built, Progress, build_pack
from lickwright.pack.folder import PackFolderError
from lickwright.pack.handout import HandoutError
from lickwright.pack.playlist import AudioWish
from lickwright.sound import AudioFormat

__all__ = [
    "AudioFormat",
    "AudioWish",
    "Built",
    "HandoutError",
    "PackFolderError",
    "Progress",
    "build_pack",
]
