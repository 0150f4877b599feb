#!/usr/bin/env python3
"""Checks tools/embed_page.py: what a program made of its source carries is what lay in the folder.

    embed_page_test.py C++-COMPILER
"""
import gzip
import pathlib
import subprocess
import sys
import tempfile
import unittest

COMPILER = sys.argv.pop(1)
ROOT = pathlib.Path(__file__).resolve().parent.parent
PRINTS = """#include <cstdio>
#include "service/page_file.hpp"
int main() {
    for (const auto& file : omniway::service::page_files()) {
        for (const auto& part : {file.path, file.type, file.tag, file.bytes, file.gzip}) {
            std::printf("%zu\\n", part.size());
            std::fwrite(part.data(), 1, part.size(), stdout);
        }
    }
}
"""


def embedded(folder, out):
    return subprocess.run([sys.executable, ROOT / "tools/embed_page.py", folder, out], capture_output=True, text=True, check=False)


def carried(folder):
    """[(path, type, tag, bytes, gzip)] as a program made of the source prints them."""
    with tempfile.TemporaryDirectory() as made:
        made = pathlib.Path(made)
        done = embedded(folder, made / "page.cpp")
        assert done.returncode == 0, done.stderr
        (made / "main.cpp").write_text(PRINTS)
        subprocess.run([COMPILER, "-std=c++20", "-I", ROOT / "src", made / "page.cpp", made / "main.cpp", "-o", made / "page"], check=True)
        told = subprocess.run([made / "page"], capture_output=True, check=True).stdout
    parts = []
    while told:
        size, told = told.split(b"\n", 1)
        parts.append(told[:int(size)])
        told = told[int(size):]
    return [tuple(parts[i:i + 5]) for i in range(0, len(parts), 5)]


class EmbedPage(unittest.TestCase):
    def test_every_byte_is_carried(self):
        with tempfile.TemporaryDirectory() as folder:
            folder = pathlib.Path(folder)
            every = bytes(range(256)) * 40 + b'\\"??=0123'
            (folder / "assets").mkdir()
            (folder / "assets/a.png").write_bytes(every)
            (folder / "index.html").write_bytes(b"<!doctype html>" + b" " * 5000)
            (folder / "empty.txt").write_bytes(b"")
            (folder / "own.js").write_bytes(b"1;")
            (folder / "own.js.gz").write_bytes(b"compressed before")
            (folder / "own.js.map").write_bytes(b"left out")
            files = {path.decode(): rest for path, *rest in carried(folder)}
            self.assertEqual(sorted(files), ["/assets/a.png", "/empty.txt", "/index.html", "/own.js"])
            self.assertEqual(files["/assets/a.png"][2:], [every, b""])
            kind, tag, data, small = files["/index.html"]
            self.assertEqual((kind, data), (b"text/html; charset=utf-8", b"<!doctype html>" + b" " * 5000))
            self.assertEqual(gzip.decompress(small), data)
            self.assertLess(len(small), 100)
            self.assertRegex(tag.decode(), "^[0-9a-f]{16}$")
            self.assertEqual(files["/own.js"][2:], [b"1;", b"compressed before"])
            self.assertEqual(files["/empty.txt"][2:], [b"", b""])

    def test_no_folder_is_no_page_and_the_same_folder_is_the_same_source(self):
        self.assertEqual(carried("/nowhere"), [])
        with tempfile.TemporaryDirectory() as folder:
            folder = pathlib.Path(folder)
            (folder / "page").mkdir()
            (folder / "page/index.html").write_text("<p>" * 1000)
            for out in ("one.cpp", "two.cpp"):
                self.assertEqual(embedded(folder / "page", folder / out).returncode, 0)
            self.assertEqual((folder / "one.cpp").read_bytes(), (folder / "two.cpp").read_bytes())

    def test_a_file_of_no_known_type_is_refused(self):
        with tempfile.TemporaryDirectory() as folder:
            (pathlib.Path(folder) / "a.exe").write_text("x")
            done = embedded(folder, pathlib.Path(folder) / "out.cpp")
            self.assertNotEqual(done.returncode, 0)
            self.assertIn(".exe", done.stderr)


if __name__ == "__main__":
    unittest.main()
