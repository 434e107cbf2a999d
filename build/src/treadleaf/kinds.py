"""The kinds of page, one model each: what its front matter says, where it stands, and which sections it has."""

from datetime import date
from typing import Annotated, ClassVar, Literal

from pydantic import BaseModel, ConfigDict, Field


class FrontMatter(BaseModel):
    """What every kind of page says about itself.

    ``door`` is the door of the start page behind which the kind is listed, ``place`` where the page stands among its
    own kind, and ``also`` plain words that the search finds it by.
    """

    model_config = ConfigDict(extra="forbid", frozen=True)

    folder: ClassVar[str]
    door: ClassVar[str] = ""
    sections: ClassVar[tuple[str, ...]]
    screen_only: ClassVar[tuple[str, ...]] = ()
    for_staff: ClassVar[bool] = False

    title: Annotated[str, Field(min_length=3, max_length=60)]
    short: Annotated[str, Field(min_length=3, max_length=24)]
    summary: Annotated[str, Field(min_length=20, max_length=200)]
    also: tuple[str, ...] = ()
    place: int = 50
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
    door: ClassVar[str] = "check"
    sections: ClassVar[tuple[str, ...]] = ("need", "make", "look", "measure", "tells")
    screen_only: ClassVar[tuple[str, ...]] = ("tells",)
    kind: Literal["check"]


class Exercise(Practice):
    """One exercise on one sheet: what it is for, how it is done, when to stop, and doses that others used.

    ``drills`` are keys of the table of doses.
    """

    folder: ClassVar[str] = "exercises"
    door: ClassVar[str] = "exercise"
    sections: ClassVar[tuple[str, ...]] = ("for", "need", "do", "feel", "stop", "easier", "harder", "dose")
    kind: Literal["exercise"]
    drills: tuple[str, ...] = ()


class Programme(Practice):
    """Several exercises written down and added up."""

    folder: ClassVar[str] = "exercises"
    door: ClassVar[str] = "exercise"
    sections: ClassVar[tuple[str, ...]] = ("for", "do", "dose", "stop")
    kind: Literal["programme"]


class Learn(FrontMatter):
    """A page to read: the short answer first, then the reasons, then what nobody knows."""

    folder: ClassVar[str] = "learn"
    door: ClassVar[str] = "learn"
    sections: ClassVar[tuple[str, ...]] = ("short", "more", "unknown")
    kind: Literal["learn"]


class Signs(FrontMatter):
    """The signs that need help, which come before every check and exercise."""

    folder: ClassVar[str] = "cautions"
    door: ClassVar[str] = "caution"
    sections: ClassVar[tuple[str, ...]] = ("signs", "unsure")
    kind: Literal["signs"]


class Caution(FrontMatter):
    """What some feet need more care with: the short answer, what to do, when to ask, and what is known of it."""

    folder: ClassVar[str] = "cautions"
    door: ClassVar[str] = "caution"
    sections: ClassVar[tuple[str, ...]] = ("short", "do", "ask", "more")
    kind: Literal["caution"]


class About(FrontMatter):
    """What the handout itself is and does. The foot of each page leads there."""

    folder: ClassVar[str] = "about"
    sections: ClassVar[tuple[str, ...]] = ("short", "promises", "kept", "others")
    kind: Literal["about"]


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


Front = Home | Check | Exercise | Programme | Learn | Signs | Caution | About | Staff | Samples

# In the order in which the pages are read.
KINDS: dict[str, type[Front]] = {
    "home": Home,
    "check": Check,
    "exercise": Exercise,
    "programme": Programme,
    "learn": Learn,
    "signs": Signs,
    "caution": Caution,
    "about": About,
    "staff": Staff,
    "samples": Samples,
}
