"""Commands that write or describe design files: `new`, `starters`, `schema`."""

from __future__ import annotations

import argparse
import sys

from recipes.cli.answer import BAD_INPUT, FINE, print_json
from recipes.design import Design
from recipes.design.starter import new_text, starters


def new(args: argparse.Namespace) -> int:
    """Write a design file that builds at once, never over another."""
    text = new_text(args.like, args.file)
    try:
        with args.file.open("x", encoding="utf-8") as file:
            file.write(text)
    except FileExistsError:
        print(f"lamwright: {args.file} exists already; choose another name", file=sys.stderr)
        return BAD_INPUT
    print(f"wrote {args.file}; next: lamwright check {args.file}")
    return FINE


def list_starters(args: argparse.Namespace) -> int:
    """List the starters, a line each."""
    del args
    for name, line in starters():
        print(f"{name:16} {line}")
    return FINE


def schema(args: argparse.Namespace) -> int:
    """Print the JSON Schema of the design file."""
    del args
    schema = Design.model_json_schema(mode="validation")
    print_json({"$schema": "https://json-schema.org/draft/2020-12/schema", **schema})
    return FINE
