"""What Windows, macOS and Linux ask of a path inside a pack."""

from __future__ import annotations

import unicodedata
from pathlib import PureWindowsPath

#: Longest path inside a pack, characters: 260 (MAX_PATH of Windows, null included) less room for
#: a folder of a user.
LONGEST = 120
#: Longest name of a file or folder in bytes of UTF-8 (ext4, APFS), less room for a hidden twin
#: `.name.new-12345678` (14 more).
LONGEST_NAME = 255 - 14
#: "Naming Files, Paths, and Namespaces", Microsoft Learn: reserved characters and names.
FORBIDDEN = '<>:"|?*\\'
DEVICES = {"CON", "PRN", "AUX", "NUL", "CONIN$", "CONOUT$"} | {
    f"{port}{n}" for port in ("COM", "LPT") for n in (*"0123456789", "¹", "²", "³")
}


def faults_of_path(path: str) -> list[str]:
    """Return what is wrong with a relative path with forward slashes; empty if nothing is."""
    faults = []
    if len(path) > LONGEST:
        faults.append(f"{len(path)} characters")
    if path.startswith("/") or PureWindowsPath(path).is_absolute() or PureWindowsPath(path).drive:
        faults.append("is absolute")
    if PureWindowsPath(path).is_reserved():
        faults.append("is a device on Windows")
    if unicodedata.normalize("NFC", path) != path:
        faults.append("is not composed (NFC): macOS and Linux would see two names")
    for name in path.split("/"):
        if name in ("", ".", ".."):
            faults.append(f"step {name!r}")
        if name != name.rstrip(". "):
            faults.append(f"{name!r} ends in a dot or a space")
        if any(c in FORBIDDEN or ord(c) < 32 for c in name):
            faults.append(f"{name!r} holds a forbidden character")
        if name.split(".")[0].rstrip(" ").upper() in DEVICES:
            faults.append(f"{name!r} is a device on Windows")
        if len(name.encode()) > LONGEST_NAME:
            faults.append(f"{name!r} takes {len(name.encode())} bytes")
    return faults
