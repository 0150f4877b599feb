#!/usr/bin/env python3
"""Writes the built page as a source, so that the program carries it.

    embed_page.py FOLDER OUT.cpp

Every file below FOLDER goes in under its path there, with its type, a tag of its bytes and, where that is shorter, the bytes compressed (a
FILE.gz beside FILE is taken as that). The same files give the same source. Where there is no FOLDER the program carries no page.
"""
import gzip
import hashlib
import sys
from pathlib import Path

TYPES = {
    ".html": "text/html; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".css": "text/css; charset=utf-8",
    ".json": "application/json",
    ".webmanifest": "application/manifest+json",
    ".svg": "image/svg+xml",
    ".png": "image/png",
    ".ico": "image/x-icon",
    ".woff2": "font/woff2",
    ".txt": "text/plain; charset=utf-8",
}
COMPRESSED = {".html", ".js", ".css", ".json", ".webmanifest", ".svg", ".txt", ".ico"}
HEAD = """// The built page, written by tools/embed_page.py.
#include <array>
#include <string_view>

#include "service/page_file.hpp"

namespace omniway::service {

using namespace std::string_view_literals;

namespace {

"""


def literal(data: bytes) -> str:
    """Octal escapes of three digits take no digit that follows for their own."""
    lines = []
    for begin in range(0, len(data), 4096):
        lines.append('"' + "".join(f"\\{byte:03o}" if byte < 32 or byte > 126 or chr(byte) in '"\\?' else chr(byte)
                                   for byte in data[begin:begin + 4096]) + '"')
    return "\n    ".join(lines or ['""']) + "sv"


def main() -> int:
    if len(sys.argv) != 3:
        sys.exit(__doc__)
    folder, out = Path(sys.argv[1]), Path(sys.argv[2])
    rows = []
    for file in sorted(folder.rglob("*")) if folder.is_dir() else []:
        if not file.is_file() or file.suffix in (".gz", ".map"):
            continue
        if file.suffix not in TYPES:
            sys.exit(f"{file}: no type is known for {file.suffix} files: add it to {Path(__file__).name}")
        data = file.read_bytes()
        beside = file.with_name(file.name + ".gz")
        small = beside.read_bytes() if beside.exists() else gzip.compress(data, 9, mtime=0)
        if not beside.exists() and (file.suffix not in COMPRESSED or len(small) >= len(data)):
            small = b""
        tag = hashlib.sha256(data).hexdigest()[:16]
        path = "/" + file.relative_to(folder).as_posix()
        rows.append(f'PageFile{{"{path}"sv, "{TYPES[file.suffix]}"sv, "{tag}"sv,\n    {literal(data)},\n    {literal(small)}}}')
    text = HEAD + f"constexpr std::array<PageFile, {len(rows)}> files{{" + ",\n    ".join(rows) + "};\n\n}  // namespace\n\n"
    text += "std::span<const PageFile> page_files() {\n    return files;\n}\n\n}  // namespace omniway::service\n"
    out.write_text(text, encoding="ascii")
    return 0


if __name__ == "__main__":
    sys.exit(main())
