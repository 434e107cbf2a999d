"""The last look: each fault is planted in a finished site, and must be found."""

import shutil
from contextlib import contextmanager

import pytest

from treadleaf import audit, site
from treadleaf.errors import InputProblems


@pytest.fixture(scope="module")
def expected():
    return site._expected(site._read(site.DEMO))


@pytest.fixture(scope="module")
def copy(demo_site, tmp_path_factory):
    """A copy of the demo site to plant faults in; each test puts back what was there."""
    folder = tmp_path_factory.mktemp("audit") / "site"
    shutil.copytree(demo_site, folder)
    return folder


@contextmanager
def changed(file, change):
    before = file.read_bytes() if file.exists() else None
    after = change((before or b"").decode())
    assert before is None or after.encode() != before, "the fault was not planted"
    file.parent.mkdir(exist_ok=True)
    file.write_bytes(after.encode())
    try:
        yield
    finally:
        if before is None:
            file.unlink()
        else:
            file.write_bytes(before)


def test_nothing_is_wrong_with_the_demo(demo_site, expected):
    assert list(audit.look(demo_site, expected)) == []


IN_THE_PAGE = {
    "script from elsewhere": ('<script src="https://example.net/a.js"></script>', "from elsewhere"),
    "module from elsewhere": ('<script type="module" src="HTTPS://example.net/a.js"></script>', "from elsewhere"),
    "script that is not there": ('<script type="module" src="scripts/a.js"></script>', "file that is not there"),
    "inline script": ("<script>alert(1)</script>", "does not know"),
    "inline module": ('<script type="module">alert(1)</script>', "inline script"),
    "script of another type": ('<script type="importmap">{}</script>', "value that is on no list"),
    "picture from elsewhere": ('<img src="//example.net/a.png" alt="">', "read in different ways"),
    "picture in its address": ('<img src="data:image/png;base64,AA" alt="">', "from elsewhere"),
    "picture by backslashes": (r'<img src="\\example.net\a.png" alt="">', "read in different ways"),
    "choice of pictures": ('<img src="logo.svg" srcset="https://example.net/a.png" alt="">', "attribute that is on"),
    "source of pictures": ('<picture><source srcset="//example.net/a"></picture>', "element that is on"),
    "film": ('<video poster="https://example.net/a.png"></video>', "element that is on"),
    "sound": ('<audio src="a.mp3"></audio>', "element that is on"),
    "picture as a button": ('<input type="image" src="https://example.net/a.png">', "on no list"),
    "style attribute": ('<p style="background:url(//example.net)">x</p>', "attribute that is on"),
    "style element": ("<style>@import '//example.net';</style>", "element that is on"),
    "background attribute": ('<table background="//example.net/a.png"></table>', "attribute that is on"),
    "drawing that loads": ('<svg><image href="https://example.net/a.png"/></svg>', "element that is on"),
    "drawing that borrows": ('<svg><use href="https://example.net/a.svg#a"/></svg>', "element that is on"),
    "drawing painted from elsewhere": ('<svg><path fill="url(//example.net#a)" d=""/></svg>', "is painted"),
    "drawing that acts": ("<svg><animate/></svg>", "element that is on"),
    "stylesheet from elsewhere": ('<link rel="stylesheet" href="https://example.net/a.css">', "from elsewhere"),
    "early connection": ('<link rel="preconnect" href="https://example.net">', "value that is on no list"),
    "early name": ('<link rel="dns-prefetch" href="//example.net">', "value that is on no list"),
    "another page's name": ('<link rel="canonical" href="https://example.net/">', "another address as its own"),
    "ping": ('<a href="index.html" ping="https://example.net">x</a>', "attribute that is on"),
    "download": ('<a href="index.html" download>x</a>', "attribute that is on"),
    "link that runs": ('<a href="javascript:alert(1)">x</a>', "could act"),
    "link that runs, written oddly": ('<a href="java\tscript:alert(1)">x</a>', "read in different ways"),
    "link that holds its page": ('<a href="data:text/html,x">x</a>', "could act"),
    "link to elsewhere without a scheme": ('<a href="//example.net">x</a>', "read in different ways"),
    "link that opens": ('<a href="https://example.net" target="_blank">x</a>', "attribute that is on"),
    "dead link": ('<a href="nowhere.html">x</a>', "file that is not there"),
    "dead place": ('<a href="#nowhere">x</a>', "place that is not there"),
    "dead place on another page": ('<a href="checks/wet-print.html#nowhere">x</a>', "place that is not there"),
    "dead place in a file": ('<a href="NOTICES.txt#nowhere">x</a>', "place that is not there"),
    "way out": ('<a href="../../../etc/passwd">x</a>', "file that is not there"),
    "way from the top": ('<a href="/index.html">x</a>', "file that is not there"),
    "search from elsewhere": ('<button type="button" data-bundle="https://example.net/a.js">x</button>', "elsewhere"),
    "going elsewhere": ('<meta http-equiv="refresh" content="0;url=https://example.net">', "value that is on no list"),
    "base": ('<base href="https://example.net/">', "element that is on"),
    "form to elsewhere": ('<form action="https://example.net"></form>', "attribute that is on"),
    "button to elsewhere": (
        '<button type="button" formaction="https://example.net">x</button>',
        "attribute that is on",
    ),
    "button that sends": ('<button type="submit">x</button>', "value that is on no list"),
    "page in a page": ('<iframe srcdoc="x"></iframe>', "element that is on"),
    "page of another in a page": ('<iframe src="https://example.net"></iframe>', "element that is on"),
    "object": ('<object data="a.svg"></object>', "element that is on"),
    "embedded": ('<embed src="a.svg">', "element that is on"),
    "tag of nobody's": ("<foot-gauge></foot-gauge>", "element that is on"),
    "handler": ('<p onclick="alert(1)">x</p>', "from an attribute"),
    "comment": ("<!-- x -->", "comment"),
    "marked section": ("<svg><![CDATA[<p>]]></svg>", "(declaration|comment)"),
    "crossed": ("<p><strong>x</p></strong>", "do not nest"),
    "left open": ("<div>", "do not nest"),
    "closed like a drawing": ("<div/>", "closed as if"),
    "two of one name": ('<p id="start">x</p>', "same id"),
    "attribute twice": ('<img src="logo.svg" alt="" src="//example.net">', "stands twice"),
    "second purpose": ('<p class="purpose">Heals every foot.</p>', "purpose once"),
    "second box of cautions": ('<aside class="caution-box">x</aside>', "carries them twice"),
}
CHANGED = {
    "no policy": ('http-equiv="Content-Security-Policy"', 'name="description"', "no security policy"),
    "weaker policy": ("connect-src 'self'", "connect-src *", "not the one that is written"),
    "unsafe policy": ("script-src 'self'", "script-src 'self' 'unsafe-inline'", "not the one that is written"),
    "policy that comes late": (
        '<meta charset="utf-8">',
        '<script src="scripts/site.js"></script>',
        "before its security",
    ),
    "policy that was never filled in": ("</title>", "<policy-goes-here></title>", "no security policy"),
    "no cautions": ('class="caution-box"', 'class="box"', "no cautions"),
    "cautions that are hidden": ('class="caution-box"', 'class="caution-box" hidden', "no cautions"),
    "cautions on paper alone": ('class="caution-box"', 'class="caution-box print-only"', "no cautions"),
    "cautions for nobody": ('class="caution-box"', 'class="caution-box" aria-hidden="true"', "no cautions"),
    "cautions folded away": ('<div class="parts">', '<details><summary>x</summary><div class="parts">', "do not nest"),
    "a caution in other words": ("see a clinician first", "never mind", "lack a sentence"),
    "a caution that is hidden": ("<li>A flat arch", "<li hidden>A flat arch", "lack a sentence"),
    "no purpose": ('class="purpose"', 'class="aim"', "purpose once"),
    "hidden purpose": ('class="purpose"', 'class="purpose screen-only"', "purpose once"),
    "purpose in other words": ("does not replace advice", "replaces advice", "purpose once"),
}


@pytest.mark.parametrize(("planted", "what"), IN_THE_PAGE.values(), ids=IN_THE_PAGE)
def test_what_is_planted_in_a_page_is_refused(copy, expected, planted, what):
    with (
        changed(copy / "index.html", lambda html: html.replace("</main>", f"{planted}</main>", 1)),
        pytest.raises(InputProblems, match=f"index.html: .*{what}"),
    ):
        audit.refuse(copy, expected)


@pytest.mark.parametrize(
    ("address", "right"),
    [
        ("/marrowby/", True),
        ("/marrowby/checks/wet-print.html#make", True),
        ("index.html", False),
        ("/index.html", False),
        ("/marrowby/../index.html", False),
        ("/marrowby/nowhere.html", False),
        ("/marrowby/checks/wet-print.html#nowhere", False),
    ],
)
def test_the_page_for_a_wrong_address_names_places_from_the_top(copy, expected, address, right):
    with changed(copy / "404.html", lambda html: html.replace("</main>", f'<a href="{address}">x</a></main>', 1)):
        assert [problem.file for problem in audit.look(copy, expected)] == ([] if right else ["404.html"])


@pytest.mark.parametrize(("old", "new", "what"), CHANGED.values(), ids=CHANGED)
def test_what_is_changed_in_a_page_is_refused(copy, expected, old, new, what):
    with (
        changed(copy / "index.html", lambda html: html.replace(old, new, 1)),
        pytest.raises(InputProblems, match=f"index.html: .*{what}"),
    ):
        audit.refuse(copy, expected)


def test_a_fake_box_of_cautions_does_not_stand_for_the_real_one(copy, expected):
    fake = '<template><aside class="caution-box">A flat arch that is new: see a clinician first.</aside></template>'

    def change(html):
        return html.replace('class="caution-box"', 'class="box"').replace("</main>", f"{fake}</main>")

    with changed(copy / "index.html", change), pytest.raises(InputProblems, match="no cautions"):
        audit.refuse(copy, expected)


FILES = {
    "style that imports": ("styles/site.css", "@import 'https://example.net/a.css';", "way that ours do not"),
    "style that loads": ("styles/site.css", "p{background:url(https://example.net/a.png)}", "from elsewhere"),
    "style that loads without a scheme": (
        "styles/clinic.css",
        "p{background:url( '//example.net/a.png' )}",
        "elsewhere",
    ),
    "style that loads in capitals": ("styles/site.css", "p{background:URL(//example.net/a.png)}", "from elsewhere"),
    "style that loads, escaped": ("styles/site.css", r"p{background:\75rl(//example.net/a)}", "from elsewhere"),
    "style that loads behind a comment in text": (
        "styles/site.css",
        'p{content:"/*";background:url(//example.net/a);content:"*/"}',
        "from elsewhere",
    ),
    "style that chooses": ("styles/site.css", "p{background:image-set('//example.net/a' 1x)}", "way that ours do not"),
    "style that chooses, old": ("styles/site.css", "p{background:-webkit-image-set(url(a) 1x)}", "way that ours"),
    "style with a fount": ("styles/site.css", "@font-face{src:local(x)}", "way that ours do not"),
    "style of a component": ("components/look-sheet/look-sheet.css", "p{cursor:url(//example.net),auto}", "elsewhere"),
    "style that points to nothing": ("styles/site.css", "p{background:url(nothing.svg)}", "not there"),
    "style that holds a page": ("styles/site.css", "p{background:url(data:text/html,x)}", "from elsewhere"),
    "script": ("scripts/site.js", "fetch('https://example.net/')", "names an address elsewhere"),
    "script without a scheme": ("scripts/site.js", 'fetch("//example.net/")', "names an address elsewhere"),
    "socket": ("scripts/worker.js", "new WebSocket(`wss://example.net`)", "names an address elsewhere"),
    "component": ("components/footprint-widths/outline.js", "import 'http://example.net'", "names an address"),
    "service worker": ("service-worker.js", "fetch('https://example.net/')", "names an address elsewhere"),
    "name that goes on": ("scripts/site.js", "'http://www.w3.org/2000/svg/a.js'", "names an address elsewhere"),
    "drawing that runs": ("logo.svg", "<script>alert(1)</script>", "drawing could act"),
    "drawing with a handler": ("styles/icon.svg", "<g onload = 'alert(1)'/>", "drawing could act"),
    "drawing that loads": ("logo.svg", "<use xlink:href='https://example.net/a.svg#a'/>", "drawing could act"),
    "stray text": ("notes.txt", "x", "on no list"),
    "stray page": ("checks/other.html", "x", "on no list"),
    "stray script": ("scripts/other.js", "x", "on no list"),
    "stray file of the calculators": ("runtime/other.js", "x", "on no list"),
    "stray hidden file": (".htaccess", "x", "on no list"),
}


@pytest.mark.parametrize(("name", "text", "what"), FILES.values(), ids=FILES)
def test_what_is_planted_in_a_file_is_refused(copy, expected, name, text, what):
    with (
        changed(copy / name, lambda before: f"{before}\n{text}\n"),
        pytest.raises(InputProblems, match=f"{name}: .*{what}"),
    ):
        audit.refuse(copy, expected)


@pytest.mark.parametrize("pattern", ["service-worker.js", "NOTICES.txt", "logo.svg", "runtime/stdlib.*", "404.html"])
def test_a_file_that_is_missing_is_refused(copy, expected, pattern):
    (file,) = copy.glob(pattern)
    file.rename(copy.parent / "away")
    try:
        with pytest.raises(InputProblems, match=f"{file.name}: The file is missing"):
            audit.refuse(copy, expected)
    finally:
        (copy.parent / "away").rename(file)


@pytest.mark.parametrize(
    "text",
    [
        'p{background:url(icon.svg);fill:url("#a")}',
        "/* https://example.net and url(//example.net) */",
        r'p::before{content:"\201c"}',
    ],
)
def test_styles_may_point_inside_the_site(copy, expected, text):
    with changed(copy / "styles" / "site.css", lambda before: before + text):
        audit.refuse(copy, expected)


def test_a_link_may_lead_anywhere_that_somebody_chooses_to_go(copy, expected):
    links = "".join(
        f'<a href="{address}">x</a>'
        for address in (
            "https://example.net/a?b#c",
            "mailto:a@example.net",
            "tel:112",
            "#start",
            "checks/wet-print.html#make",
        )
    )
    with changed(copy / "index.html", lambda html: html.replace("</main>", f"{links}</main>")):
        audit.refuse(copy, expected)
