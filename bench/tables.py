"""The share of slips of the pen that each shipped table notices. Run: `python bench/tables.py`.

Each digit of each value is changed to every other digit and exchanged with its neighbour; a slip is caught when
recomputing the table then disagrees.
"""

from __future__ import annotations

from handwheel.engineering.proofs import slip_shares
from handwheel.engineering.thread_proofs import thread_shares


def main() -> None:
    """Print one line a table, then all together."""
    shares = (*thread_shares(), *slip_shares())
    for share in shares:
        print(share)
    tried, caught = sum(s.tried for s in shares), sum(s.caught for s in shares)
    print(f"all {len(shares)} tables: {caught} of {tried} slips caught ({caught / tried:.1%})")


if __name__ == "__main__":
    main()
