"""`lookup`: one row of a standard table."""

from __future__ import annotations

import argparse
import sys

from recipes.cli.answer import BAD_INPUT, FINE, print_json
from recipes.study.lookup import look_up
from recipes.tables.reader import TableError


def lookup(args: argparse.Namespace) -> int:
    """Print the row with its source."""
    try:
        row = look_up(args.table, args.words)
    except TableError as error:
        print(f"lamwright: {error}", file=sys.stderr)
        return BAD_INPUT
    if args.json:
        print_json(row)
    else:
        width = max(len(k) for k in row)
        for key, value in row.items():
            print(f"{key:{width}}  {f'{value:.6g}' if isinstance(value, float) else value}")
    return FINE
