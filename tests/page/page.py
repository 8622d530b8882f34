#!/usr/bin/env python3
"""The page of `toprail decide --format html`, opened in Chromium.

    page.py BUILT-COMMAND CHROMIUM [FOLDER]

Roles, headings and tables are those that a screen reader is given. Nothing may be asked of the
network, nothing may be reported, nothing may hang on colour, and the page must fit its window and
print. With FOLDER, pictures and the printed page are kept there to look at.
"""

import pathlib
import re
import subprocess
import sys
import tempfile

from browser import Browser

ROOT = pathlib.Path(__file__).resolve().parents[2]

# Every colour on the page, of text, ground and lines.
COLOURS = """
[...new Set([...document.querySelectorAll("*")].flatMap(e => {
  const s = getComputedStyle(e);
  return [s.color, s.backgroundColor, s.borderTopColor, s.borderBottomColor];
}))]
"""
OVERFLOW = "document.documentElement.scrollWidth - document.documentElement.clientWidth"


def tell(command, case, length):
    words = ["decide", "--facts", ROOT / "rulepacks/demo/site.yaml", "--on", "2024-06-01"]
    words += ["--packs", ROOT / "rulepacks", "--length", length]
    words += ["--case", case] if case else []
    run = subprocess.run(
        [command, *words, "--format", "html"], stdout=subprocess.PIPE, check=False
    )
    return run.stdout


def nodes(browser):
    """Role, name and level of everything that a screen reader is given, in its order."""
    tree = {node["nodeId"]: node for node in browser.ask("Accessibility.getFullAXTree")["nodes"]}
    root = next(node for node in tree.values() if "parentId" not in node)
    found = []

    def walk(node):
        if not node.get("ignored"):
            properties = {p["name"]: p["value"].get("value") for p in node.get("properties", [])}
            name = node.get("name", {}).get("value", "")
            found.append((node["role"]["value"], name, properties.get("level")))
        for child in node.get("childIds", []):
            if child in tree:
                walk(tree[child])

    walk(root)
    return found


def colourful(colour):
    numbers = re.findall(r"[\d.]+", colour)[:3]
    return len(set(numbers)) > 1


def hold(browser, length, several, troubles):
    seen = nodes(browser)
    roles = [role for role, _, _ in seen]
    # With several cases the cautions stand in the article of each, not at the foot of the page.
    for role, times in (("banner", 1), ("main", 1), ("contentinfo", 0 if several else 1)):
        if roles.count(role) != times:
            troubles.append(f"{roles.count(role)} landmarks of role {role}")
    headings = [(name, level) for role, name, level in seen if role == "heading"]
    levels = [level for _, level in headings]
    if levels.count(1) != 1 or levels[0] != 1:
        troubles.append("the first heading, and it alone, is of level 1")
    for before, after in zip(levels, levels[1:]):
        if after > before + 1:
            troubles.append(f"a heading of level {after} follows one of level {before}")
    regions = [name for role, name, _ in seen if role == "region"]
    titles = [name for name, level in headings if level == (3 if several else 2)]
    articles = [name for role, name, _ in seen if role == "article"]
    if articles != [name for name, level in headings if level == 2 and several]:
        troubles.append(f"the articles {articles} are not named by the headings of level 2")
    if regions != titles:
        troubles.append(f"the regions {regions} are not named by the headings {titles}")
    wanted = {"What is required", "Under whose rules", "Cautions"}
    wanted |= {"Facts as given"} if length != "answer" else set()
    wanted |= {"Everything considered"} if length == "everything" else set()
    if not wanted <= set(titles):
        troubles.append(f"no heading {sorted(wanted - set(titles))}")
    tables = [name for role, name, _ in seen if role == "table"]
    if not tables or "" in tables:
        troubles.append(f"tables without a caption among {tables}")
    if roles.count("columnheader") < 3 * len(tables) or "rowheader" not in roles:
        troubles.append("tables without heads")
    for event in browser.events:
        method, params = event.get("method"), event.get("params", {})
        if method in ("Runtime.consoleAPICalled", "Runtime.exceptionThrown", "Log.entryAdded"):
            troubles.append(f"reported: {params}")
        if method == "Network.requestWillBeSent" and params["type"] != "Document":
            troubles.append(f"asked of the network: {params['request']['url']}")
    found = [colour for colour in browser.value(COLOURS) if colourful(colour)]
    if found:
        troubles.append(f"colours: {found}")
    for media in ("screen", "print"):
        browser.ask("Emulation.setEmulatedMedia", media=media)
        for width in (1280, 400) if media == "screen" else (720,):
            browser.width(width)
            if browser.value(OVERFLOW) > 0:
                troubles.append(f"{media}, {width} px: wider than the window")
    return len(headings)


def main():
    command = pathlib.Path(sys.argv[1]).resolve()
    keep = pathlib.Path(sys.argv[3]) if len(sys.argv) > 3 else None
    troubles, pages, headings = [], 0, 0
    # The lift that meets its duties, one that waits for facts, and one with much to choose.
    cases = [("lift-1", "answer"), ("lift-1", "reasons"), ("lift-2", "reasons")]
    cases += [("lift-4", "reasons"), ("lift-1", "everything"), ("", "reasons")]
    with tempfile.TemporaryDirectory() as folder, Browser(sys.argv[2]) as browser:
        for case, length in cases:
            page = pathlib.Path(folder) / f"{case or 'all'}-{length}.html"
            page.write_bytes(tell(command, case, length))
            browser.width(1280)
            browser.ask("Emulation.setEmulatedMedia", media="screen")
            browser.open(page.as_uri())
            found = []
            headings += hold(browser, length, not case, found)
            printed = browser.pdf()
            if not printed.startswith(b"%PDF-") or not re.search(rb"/Type ?/Page\b", printed):
                found.append("it does not print")
            troubles += [f"{page.stem}: {each}" for each in found]
            pages += 1
            if keep:
                (keep / f"{page.stem}.pdf").write_bytes(printed)
                (keep / f"{page.stem}-print.png").write_bytes(browser.picture())
                browser.ask("Emulation.setEmulatedMedia", media="screen")
                for width in (1280, 400):
                    browser.width(width)
                    (keep / f"{page.stem}-{width}.png").write_bytes(browser.picture())
                browser.ask("Emulation.setEmulatedVisionDeficiency", type="achromatopsia")
                (keep / f"{page.stem}-grey.png").write_bytes(browser.picture())
                browser.ask("Emulation.setEmulatedVisionDeficiency", type="none")
    for trouble in troubles:
        print(trouble)
    print(f"{pages} pages, {headings} headings, {len(troubles)} troubles")
    return 1 if troubles or headings < 3 * pages else 0


if __name__ == "__main__":
    sys.exit(main())
