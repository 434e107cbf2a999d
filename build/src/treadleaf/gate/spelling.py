"""Whether a word is spelled as British English spells it.

The list is SCOWL's British one with -ise, size 60, every form written out (its licence stands beside it), and the
project's own trade words. A word in small letters must be in one of them as it is; one with a capital at the start of a
sentence is looked up small as well. Elsewhere a capital makes a name, which no list can know.
"""

import gzip
import re
from collections.abc import Iterator
from functools import cache

from treadleaf.gate.rules import DATA
from treadleaf.gate.syllables import trade_words

_WORD = re.compile(r"[^\W\d_]+(?:['’][^\W\d_]+)*")
_POSSESSIVE = re.compile(r"(?:'s|(?<=s)')$")
# An address or a file's name is no word.
_NO_WORDS = re.compile(r"\S*(?:://|@|\w\.\w)\S*")


def unknown(sentence: str) -> Iterator[str]:
    """The words of a sentence that no list knows."""
    text = _NO_WORDS.sub(" ", sentence)
    for index, found in enumerate(_WORD.finditer(text)):
        word = found[0].replace("’", "'")
        begins = index == 0 or text[: found.start()].rstrip(" \"'“‘(").endswith((".", ":", "?", "!"))
        if not _known(word, may_be_name=not begins):
            yield found[0]


def _known(word: str, *, may_be_name: bool) -> bool:
    if len(word) == 1 or word.isupper():
        return True
    forms = {word, _POSSESSIVE.sub("", word)}
    if word[0].isupper():
        if may_be_name:
            return True
        forms |= {form[0].lower() + form[1:] for form in forms}
    return any(form in _list() or form in trade_words() for form in forms)


@cache
def _list() -> frozenset[str]:
    return frozenset(gzip.decompress((DATA / "spelling.txt.gz").read_bytes()).decode("ascii").splitlines())
