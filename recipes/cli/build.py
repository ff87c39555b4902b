"""`build`: the whole pack of one design file."""

from __future__ import annotations

import argparse

from recipes.build.build import build


def build_pack(args: argparse.Namespace) -> int:
    """Write the pack; what it says on screen is said while it is made."""
    return build(
        args.file,
        args.out,
        only=tuple(p.strip() for p in args.parts.split(",") if p.strip()),
        solids=not args.no_solids,
        process=args.process,
        talk=args.talk,
    )
