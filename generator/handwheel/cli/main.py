"""The command line: parse, run one command, return a code.

Exit codes: 0 done, nothing stops publishing; 1 done, and something does; 2 the command or the content
cannot be used. Data goes to standard output, talk to standard error.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Collection, Sequence
from importlib import import_module
from pathlib import Path

from handwheel import __version__
from handwheel.cli.report import say
from handwheel.desk.layout import CONTENT
from handwheel.desk.whole_folders import told
from handwheel.machines.errors import MachinesError
from handwheel.records.errors import HandwheelError, InputErrors

COMMANDS = {
    "check": "Read a shop's folder and say all that is wrong with it.",
    "build": "Check a shop's folder, then write its site.",
    "serve": "Show the site and build it anew at each change.",
    "show": "Print a procedure for a machine, known wholly or in part.",
    "reach": "Print the least that must come off to reach a part, and what then needs doing.",
    "identify": "Say which machine it is, how sure, what is not original, and what to look at next.",
    "screw": "Rank what a measured screw can be, with its look-alikes, blade and where it gives way.",
    "stitch": "Work out what a regulator sews from a sewn sample, with its uncertainty.",
    "new": "Make a shop's folder, or add a family, variant, part, procedure, step or other record to a shop.",
    "explain": "Say what an id, a key or a rule is, where it stands, who uses it and for which machines it holds.",
    "schema": "Print the JSON Schema of content files, or write it where editors find it.",
    "publish": "Check, build, follow every link, then put the site in place whole, or go back to the one before.",
    "take-in": "Take notes from the bench into the shop, each beside its step.",
    "passages": "Make draft passages of a recording's timed text.",
    "export": "Write the pages and their navigation as plain files that build without handwheel.",
}
_SHOP_HELP = "the shop's folder (the one here)"
FINE, STOPPED, UNUSABLE = 0, 1, 2
SHOP = Path("demo_content")
"""The shop where none is named: in a clone the demo, in a shop's folder that shop."""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run a command; never a traceback for a mistake in the content or the command line."""
    given = sys.argv[1:] if arguments is None else arguments
    options = parser(given[:1]).parse_args(given)
    module = import_module(f"handwheel.cli.{options.command.replace('-', '_')}")
    try:
        code: int = module.run(options)
    except InputErrors as error:
        say(str(error))
        return UNUSABLE
    except (HandwheelError, MachinesError) as error:
        say(f"handwheel {options.command}: {error}")
        return UNUSABLE
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return FINE
    except OSError as error:
        say(f"handwheel {options.command}: {told(error)}")
        return UNUSABLE
    except KeyboardInterrupt:
        say("stopped")
        return 130
    return code


def parser(wanted: Collection[str] = tuple(COMMANDS)) -> argparse.ArgumentParser:
    """The parser of the command line.

    Args:
        wanted: Commands whose options it knows; only their files are imported, since a start takes time.
    """
    top = argparse.ArgumentParser(
        prog="handwheel",
        description="From a shop's notes in YAML to the procedure for the machine on the bench.",
        epilog="Exit codes: 0 done; 1 done, but something stops publishing; 2 the command or content cannot be used.",
    )
    top.add_argument("--version", action="version", version=f"handwheel {__version__}")
    commands = top.add_subparsers(dest="command", metavar="COMMAND", required=True)
    for name, about in COMMANDS.items():
        sub = commands.add_parser(name, help=about, description=about)
        if name in wanted:
            import_module(f"handwheel.cli.{name.replace('-', '_')}").add_options(sub)
    return top


def shop_folder(named: str) -> Path:
    """The folder of a shop's content; the one that holds it and its mkdocs.yml may be named instead."""
    top = Path(named)
    inside = top / CONTENT
    if (top / "mkdocs.yml").is_file() and inside.is_dir() and (named or not SHOP.is_dir()):
        return inside
    if not named and not SHOP.is_dir():
        raise argparse.ArgumentTypeError("there is no shop here; name its folder, or make one: handwheel new FOLDER")
    return top if named else SHOP


def add_shop(sub: argparse.ArgumentParser) -> None:
    """The shop as an argument, and the library under it."""
    sub.add_argument("shop", nargs="?", type=shop_folder, default="", help=_SHOP_HELP)
    add_library(sub)


def add_shop_option(sub: argparse.ArgumentParser) -> None:
    """The shop as an option, for commands whose argument is something else."""
    sub.add_argument("--shop", type=shop_folder, default="", help=_SHOP_HELP)


def add_library(sub: argparse.ArgumentParser) -> None:
    """The library that the shop is layered over."""
    sub.add_argument("--library", type=Path, help="library to layer it over, instead of the one shipped")
