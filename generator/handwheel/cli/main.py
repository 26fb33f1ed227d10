"""The command line: parse, run one command, return a code.

Exit codes: 0 done, nothing stops publishing; 1 done, and something does; 2 the command or the content
cannot be used. Data goes to standard output, talk to standard error.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence
from importlib import import_module
from pathlib import Path

from handwheel import __version__
from handwheel.cli.report import say
from handwheel.records.errors import HandwheelError, InputErrors

COMMANDS = {
    "check": "Read a shop's folder and say all that is wrong with it.",
    "build": "Check a shop's folder, then write its site.",
    "serve": "Show the site and build it anew at each change.",
    "show": "Print a procedure for a machine, known wholly or in part.",
    "reach": "Print the least that must come off to reach a part, and what then needs doing.",
    "screw": "Rank what a measured screw can be, with its look-alikes, blade and where it gives way.",
    "export": "Write the pages and their navigation as plain files that build without handwheel.",
}
FINE, STOPPED, UNUSABLE = 0, 1, 2
SHOP = Path("demo_content")


def main(arguments: Sequence[str] | None = None) -> int:
    """Run a command; never a traceback for a mistake in the content or the command line."""
    options = parser().parse_args(arguments)
    module = import_module(f"handwheel.cli.{options.command.replace('-', '_')}")
    try:
        code: int = module.run(options)
    except InputErrors as error:
        say(str(error))
        return UNUSABLE
    except HandwheelError as error:
        say(f"handwheel {options.command}: {error}")
        return UNUSABLE
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return FINE
    except KeyboardInterrupt:
        say("stopped")
        return 130
    return code


def parser() -> argparse.ArgumentParser:
    """The parser of the whole command line."""
    top = argparse.ArgumentParser(
        prog="handwheel",
        description="From a shop's notes in YAML to the procedure for the machine on the bench.",
        epilog="Exit codes: 0 done; 1 done, but something stops publishing; 2 the command or content cannot be used.",
    )
    top.add_argument("--version", action="version", version=f"handwheel {__version__}")
    commands = top.add_subparsers(dest="command", metavar="COMMAND", required=True)
    for name, about in COMMANDS.items():
        sub = commands.add_parser(name, help=about, description=about)
        import_module(f"handwheel.cli.{name.replace('-', '_')}").add_options(sub)
    return top


def add_shop(sub: argparse.ArgumentParser) -> None:
    """The shop as an argument, and the library under it."""
    sub.add_argument("shop", nargs="?", type=Path, default=SHOP, help=f"the shop's folder ({SHOP})")
    add_library(sub)


def add_shop_option(sub: argparse.ArgumentParser) -> None:
    """The shop as an option, for commands whose argument is something else."""
    sub.add_argument("--shop", type=Path, default=SHOP, help=f"the shop's folder ({SHOP})")


def add_library(sub: argparse.ArgumentParser) -> None:
    """The library that the shop is layered over."""
    sub.add_argument("--library", type=Path, help="library to layer it over, instead of the one shipped")
