"""`watch` on a terminal: follow one design file until Ctrl-C."""

from __future__ import annotations

import argparse
import signal
import sys
import threading
import time
from pathlib import Path

from recipes.cli.answer import FINE
from recipes.cli.watch_rebuild import Round, rebuild
from recipes.cli.watch_server import LOOPBACK, Board, server
from recipes.design.load import read_text
from recipes.terminal import Talk, Voice

#: How often the file is looked at, seconds: below what a person notices.
EVERY = 0.05


def watch_file(args: argparse.Namespace) -> int:
    """Follow the design file of a command line."""
    return watch(args.file, args.out, port=args.port, talk=args.talk, show=args.open)


def watch(
    path: Path, out: Path, *, port: int = 0, talk: Talk = "normal", show: bool = False
) -> int:
    """Rebuild the drawing side of the design at `path` on each save, and serve its page.

    Args:
        path: design file; it must exist.
        out: folder that holds packs.
        port: of the page on the loopback address; 0 for any that is free.
        talk: how much to say.
        show: open the page in the browser.

    Raises:
        BadInput: there is no such file.
        OSError: the port is taken.
    """
    read_text(path)
    signal.signal(signal.SIGTERM, signal.default_int_handler)  # ends as by Ctrl-C
    board, voice = Board(), Voice(sys.stdout, talk)
    with server(board, port) as site:
        threading.Thread(target=site.serve_forever, args=(EVERY,), daemon=True).start()
        address = f"http://{LOOPBACK}:{site.server_address[1]}/"
        voice.say(f"{address}  follows {path}; Ctrl-C ends it")
        sys.stdout.flush()
        if show:
            import webbrowser

            webbrowser.open(address)
        try:
            _follow(path, out, board, voice)
        except KeyboardInterrupt:
            voice.say("")
        finally:
            board.close()
            site.shutdown()
    return FINE


def _follow(path: Path, out: Path, board: Board, voice: Voice) -> None:
    seen: object = None
    before: object = None
    while True:
        now = _mark(path)
        settled, before = now == before, now  # an editor may be half through a save
        if settled and now != seen:
            seen = now
            done = rebuild(path, out)
            board.post(done)
            voice.say(line(done))
            sys.stdout.flush()
        time.sleep(EVERY)


def _mark(path: Path) -> object:
    """Return what differs after a save, also after one that puts a new file in place."""
    try:
        stat = path.stat()
    except OSError:
        return None
    return stat.st_mtime_ns, stat.st_size, stat.st_ino


def line(done: Round) -> str:
    """Say in one line how a round went."""
    stops = [f for f in done.findings if f["level"] == "stop"]
    looks = sum(f["level"] == "warn" for f in done.findings)
    if stops:
        return f"STOP  {stops[0]['message']}" + (
            f" (and {len(stops) - 1} more)" if stops[1:] else ""
        )
    return f"{done.seconds:.1f} s  {len(done.files)} files in {done.folder}; {looks} to look at"
