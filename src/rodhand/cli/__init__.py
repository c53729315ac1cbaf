"""Commands: thin, each parses and prints; the work is done in `book` and `sheets`.

The terminal's language is that of the environment's RODHAND_LANGUAGE, English without it. It is
put in force here, before the commands' modules take their help texts from the catalogue.
"""

from __future__ import annotations

import os

from rodhand.words import ENGLISH, LANGUAGES, use_language

LANGUAGE_ASKED = os.environ.get("RODHAND_LANGUAGE", "") or ENGLISH
if LANGUAGE_ASKED in LANGUAGES:
    use_language(LANGUAGE_ASKED)
