"""What one value of a clinic file may hold: each kind of text with its limits, for the check, the schema and the form.

A pattern says roughly what an editor and the form can test as well; the function beside it is what decides.
"""

import re
import unicodedata
from typing import Annotated, Any
from urllib.parse import urlsplit

from coloraide import Color
from pydantic import AfterValidator, Field

from treadleaf import clinic_notes

TELEPHONE = r"^\s*[+(]?[0-9][0-9 ().\/-]*$"
EMAIL = r"^\s*[A-Za-z0-9._%+-]+@[A-Za-z0-9-]+(\.[A-Za-z0-9-]+)+\s*$"
COLOUR = r"^\s*#([0-9a-fA-F]{3}|[0-9a-fA-F]{6})\s*$"
WEB = r"^\s*https?:\/\/[^\s\/?#@]+([\/?#]\S*)?\s*$"
SITE = r"^\s*https?:\/\/[^\s\/?#@]+(\/[^\s?#]*)?\s*$"
PICTURE = r"\.([sS][vV][gG]|[pP][nN][gG])\s*$"
PAGE = r"^[a-z0-9-]+(\/[a-z0-9-]+)*\.html$"
FOLDER = r"^[A-Za-z0-9_-]+(\/[A-Za-z0-9_-]+)*\/?$"
FILLED = r"\S"
LONGEST_PATH = 200

_BREAKS = frozenset("\u2028\u2029")


def one_line(text: str) -> str:
    """The text without blanks around it; ValueError where it is empty or would not stand on one line."""
    if any(unicodedata.category(letter) == "Cc" or letter in _BREAKS for letter in text):
        raise ValueError("must stand on one line, with no control characters")
    if not text.strip():
        raise ValueError("is empty; write something between the quotes")
    return text.strip()


def _paragraph(text: str) -> str:
    return one_line(" ".join(text.split()))


def _note(text: str) -> str:
    for letter in text:
        if unicodedata.category(letter) == "Cc" and letter not in "\n\t":
            raise ValueError("holds control characters")
    if not text.strip():
        raise ValueError("is empty; write something between the quotes")
    refused = clinic_notes.refused(text)
    if refused:
        raise ValueError(
            f"holds {refused[0]}; a note is plain text, lists, emphasis and links to https, mailto and tel"
        )
    return text.strip()


def _web_address(text: str) -> str:
    parts = urlsplit(one_line(text))
    if parts.scheme not in ("https", "http") or not parts.hostname or " " in text.strip() or parts.username:
        raise ValueError("must be a full web address that starts with https://")
    return text.strip()


def _site_address(text: str) -> str:
    address = _web_address(text)
    if urlsplit(address).query or urlsplit(address).fragment:
        raise ValueError("must end at the folder of the site: leave out everything from ? or #")
    return address.rstrip("/") + "/"


def _telephone(text: str) -> str:
    if not re.search(TELEPHONE, one_line(text)):
        raise ValueError("must be digits, with spaces, brackets, dots or dashes between them, and + only in front")
    return text.strip()


def _email(text: str) -> str:
    if not re.search(EMAIL, one_line(text)):
        raise ValueError("must be one e-mail address, like desk@example.org")
    return text.strip()


def _colour(text: str) -> str:
    if not re.search(COLOUR, text):
        raise ValueError('must be # and three or six hexadecimal digits, like "#2f6f5e"')
    return str(Color(text.strip()).to_string(hex=True))


def _picture(text: str) -> str:
    if not re.search(PICTURE, one_line(text)):
        raise ValueError("must name an .svg or a .png file")
    return text.strip()


def _page(text: str) -> str:
    if not re.search(PAGE, text):
        raise ValueError('must be a page as its address ends, like "checks/wet-print.html"')
    return text


def _folder(text: str) -> str:
    if not re.search(FOLDER, text):
        raise ValueError('must name a folder beside the clinic file, like "pages"')
    return text.rstrip("/")


def _seen(pattern: str, **more: Any) -> Any:
    """What the schema says of a text beside its length. The check itself does not use it: its own words tell more."""
    return Field(json_schema_extra={"pattern": pattern, **more})


Line = Annotated[str, AfterValidator(one_line), Field(max_length=120), _seen(FILLED)]
ShortLine = Annotated[str, AfterValidator(one_line), Field(max_length=60), _seen(FILLED)]
Paragraph = Annotated[str, AfterValidator(_paragraph), Field(max_length=800), _seen(FILLED, **{"x-rows": 4})]
Note = Annotated[str, AfterValidator(_note), Field(max_length=2000), _seen(FILLED, **{"x-rows": 6})]
Telephone = Annotated[str, AfterValidator(_telephone), Field(min_length=2, max_length=30), _seen(TELEPHONE)]
Email = Annotated[str, AfterValidator(_email), Field(max_length=200), _seen(EMAIL)]
WebAddress = Annotated[str, AfterValidator(_web_address), Field(max_length=300), _seen(WEB)]
SiteAddress = Annotated[str, AfterValidator(_site_address), Field(max_length=300), _seen(SITE)]
Colour = Annotated[str, AfterValidator(_colour), _seen(COLOUR)]
Picture = Annotated[str, AfterValidator(_picture), Field(max_length=LONGEST_PATH), _seen(PICTURE)]
PagePath = Annotated[str, AfterValidator(_page), Field(max_length=LONGEST_PATH), _seen(PAGE)]
Folder = Annotated[str, AfterValidator(_folder), Field(max_length=LONGEST_PATH), _seen(FOLDER)]
