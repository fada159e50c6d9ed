"""Pictures among letters, such as a thumb, put into words: no face that a paper carries has them."""

import re
import unicodedata

# Those blocks of Unicode that hold pictures; the tick stays, a face of ours has it.
PICTURES = (
    "\u2600-\u2712\u2714-\u27bf\u2b00-\u2bff\U0001f000-\U0001f1e5\U0001f200-\U0001f3fa\U0001f400-\U0001faff"
)
FLAGS = "\U0001f1e6-\U0001f1ff"
# What only joins or tints the picture before it: variation, joiner, keycap, skin, tags.
WITH_IT = "\ufe0e\ufe0f\u200d\u20e3\U0001f3fb-\U0001f3ff\U000e0020-\U000e007f"
FOUND = re.compile(f"[{PICTURES}]|[{FLAGS}]+|[{WITH_IT}]+")
FIRST_FLAG = 0x1F1E6


def pictures_in_words(text: str) -> str:
    """The text with each picture as its name in Unicode, in brackets: “[thumbs up sign]”."""
    return FOUND.sub(lambda found: _words(found[0]), text)


def _words(found: str) -> str:
    if FIRST_FLAG <= ord(found[0]) < FIRST_FLAG + 26:
        return "[" + "".join(chr(ord(each) - FIRST_FLAG + ord("A")) for each in found) + "]"
    name = unicodedata.name(found, "") if len(found) == 1 else ""
    return f"[{name.lower()}]" if re.match(f"[{PICTURES}]", found) else ""
