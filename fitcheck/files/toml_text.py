"""Reader of TOML text; for text that is no TOML, the line and the likeliest cure."""

from __future__ import annotations

import re
import tomllib

from fitcheck.words.errors import Fault, InputFault

# What a table or key may be called without quotes (TOML 1.0, bare keys).
_BARE = re.compile(r"[A-Za-z0-9_-]+")
_HEADER = re.compile(r"\s*(?P<open>\[{1,2})(?P<name>[^\[\]\"']+)(?P<close>\]{1,2})\s*(?:#.*)?")
_KEY = re.compile(r"\s*(?P<name>[^=\"'\[\]#]+?)\s*=")
_CURLY = re.compile("[“”„‘’]\\w")
_QUOTES = 'put texts in quotes, as in "24 ft 4 1/2 in"; an inch mark in quotes needs a backslash before it'
_EQUALS = 'write = between a key and what it is, as in metal = "steel"'


def parsed(file_name: str, text: str) -> dict[str, object]:
    """Return what tomllib reads; raise `InputFault` with the line where it stops."""
    if "\r" in text.replace("\r\n", ""):
        cure = "save it again with the line ends of Windows or Unix"
        raise InputFault([Fault(file_name, "its lines end in a sign that is no line end in TOML", cure)])
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        message, lines = str(error), text.splitlines()
        at = re.search(r"\(at line (\d+), column (\d+)\)", message)
        line = int(at[1]) if at else len(lines)
        problem = re.sub(r"\s*\(at [^()]*\)$", "", message)
        cure = _cure(problem, lines[line - 1] if line <= len(lines) else "")
        # tomllib names a table as Python would: ('tanks', 'long').
        problem = re.sub(r"\((?:'[^']*',? ?)+\)", lambda found: _dotted(found[0]), problem)
        raise InputFault([Fault(f"{file_name}, line {line}", f"not TOML: {problem}", cure)]) from error
    except RecursionError as error:
        fault = Fault(file_name, "its brackets are nested far too deep", "mend the brackets")
        raise InputFault([fault]) from error
    except ValueError as error:
        fault = Fault(file_name, f"a number in it cannot be read ({error})", "shorten the number")
        raise InputFault([fault]) from error


def _cure(problem: str, line: str) -> str:
    if "twice" in problem or "overwrite" in problem:
        return "write each table and each key once"
    if _CURLY.search(line):
        return 'write straight quotes, as in "24 ft 4 1/2 in", not curly ones'
    if "\\" in problem:
        return "write / between folders; a \\ stands only before an inch mark in quotes"
    return _cure_of_name(line) or (_EQUALS if "'=' after a key" in problem and "=" not in line else _QUOTES)


def _cure_of_name(line: str) -> str:
    """Return what to write where a table or a key is called what needs quotes, else nothing."""
    header, key = _HEADER.fullmatch(line), _KEY.match(line)
    if header and not _is_bare(header["name"]):
        name = ".".join(_quoted(each.strip()) for each in header["name"].split("."))
        written = f"{header['open']}{name}{header['close']}"
        return f"put a name with blanks or letters beyond a to z in quotes: {written}"
    if key and not _is_bare(key["name"]):
        return f"write a key without blanks, as in {re.sub('[^A-Za-z0-9]+', '_', key['name'])} = ..."
    return ""


def _is_bare(name: str) -> bool:
    return all(_BARE.fullmatch(each.strip()) for each in name.split("."))


def _quoted(name: str) -> str:
    return name if _BARE.fullmatch(name) else f'"{name}"'


def _dotted(names: str) -> str:
    return "[" + ".".join(re.findall("'([^']*)'", names)) + "]"
