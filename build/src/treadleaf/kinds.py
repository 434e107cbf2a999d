"""The kinds of page, one model each: what its front matter says, where it stands, and which sections it has."""

from datetime import date
from typing import Annotated, ClassVar, Literal

from pydantic import BaseModel, ConfigDict, Field


class FrontMatter(BaseModel):
    """What every kind of page says about itself."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    folder: ClassVar[str]
    sections: ClassVar[tuple[str, ...]]
    screen_only: ClassVar[tuple[str, ...]] = ()
    for_staff: ClassVar[bool] = False

    title: Annotated[str, Field(min_length=3, max_length=60)]
    short: Annotated[str, Field(min_length=3, max_length=24)]
    summary: Annotated[str, Field(min_length=20, max_length=200)]
    sources: tuple[str, ...]
    cautions: Annotated[tuple[str, ...], Field(min_length=1)]
    reviewed: date
    next_review: date


class Home(FrontMatter):
    """The page a client meets first."""

    folder: ClassVar[str] = ""
    sections: ClassVar[tuple[str, ...]] = ("start", "know")
    kind: Literal["home"]


class Practice(FrontMatter):
    """Something that a client does, with the numbers of a calculator where there is one; its tags call for cautions."""

    calculator: str | None = None
    tags: tuple[str, ...] = ()


class Check(Practice):
    """A check that a client does at home. It prints on one sheet, without its closing explanation."""

    folder: ClassVar[str] = "checks"
    sections: ClassVar[tuple[str, ...]] = ("need", "make", "look", "measure", "tells")
    screen_only: ClassVar[tuple[str, ...]] = ("tells",)
    kind: Literal["check"]


class Exercise(Practice):
    """Something to practise: what it is for, how it is done, doses that others used, and when to stop."""

    folder: ClassVar[str] = "exercises"
    sections: ClassVar[tuple[str, ...]] = ("for", "do", "dose", "stop")
    kind: Literal["exercise"]


class Learn(FrontMatter):
    """A page to read: the short answer first, then the reasons, then what nobody knows."""

    folder: ClassVar[str] = "learn"
    sections: ClassVar[tuple[str, ...]] = ("short", "more", "unknown")
    kind: Literal["learn"]


class Caution(FrontMatter):
    """Signs and limits that come before every check and exercise."""

    folder: ClassVar[str] = "cautions"
    sections: ClassVar[tuple[str, ...]] = ("signs", "unsure")
    kind: Literal["caution"]


class Staff(FrontMatter):
    """A page for the people of the clinic. Clients are not led to it, and search engines pass it over."""

    folder: ClassVar[str] = "staff"
    for_staff: ClassVar[bool] = True
    sections: ClassVar[tuple[str, ...]] = ("form", "next")
    kind: Literal["staff"]


class Samples(FrontMatter):
    """For staff: every part of the handout in every state. Nothing on it calculates."""

    folder: ClassVar[str] = "staff"
    for_staff: ClassVar[bool] = True
    sections: ClassVar[tuple[str, ...]] = ("text", "parts", "reading", "sheets", "form")
    kind: Literal["samples"]


Front = Home | Check | Exercise | Learn | Caution | Staff | Samples

# In the order in which the pages are read.
KINDS: dict[str, type[Front]] = {
    "home": Home,
    "check": Check,
    "exercise": Exercise,
    "learn": Learn,
    "caution": Caution,
    "staff": Staff,
    "samples": Samples,
}
