"""Tests of lint.py: each rule is broken once in a small tree, and a clean tree passes."""

import tempfile
import unittest
from pathlib import Path

import lint

CMAKE = "set(rooms text quantity\n  syntax book facts c_api)\n"


class LintTest(unittest.TestCase):
    def setUp(self) -> None:
        directory = tempfile.TemporaryDirectory()
        self.addCleanup(directory.cleanup)
        self.root = Path(directory.name)
        self.write("libcore/CMakeLists.txt", CMAKE)

    def write(self, path: str, text: str) -> None:
        target = self.root / path
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_text(text, encoding="utf-8")

    def found(self) -> list[str]:
        return [f"{f.path}:{f.line}: {f.text}" for f in lint.faults_of(self.root)]

    def test_clean_tree(self) -> None:
        self.write("libcore/src/text/a.h", "#include <string>\n")
        self.write("libcore/src/syntax/a.cc", '#include "text/a.h"\n#include <boost/x.hpp>\n')
        self.write("libcore/src/c_api/a.cc", "#include <groundrule/groundrule.h>\n")
        self.write("bindings/command/b.h", "")
        self.write(
            "bindings/command/b.cc", '#include "b.h"\n#include <groundrule/groundrule.hpp>\n'
        )
        self.assertEqual(self.found(), [])

    def test_upward_include(self) -> None:
        self.write("libcore/src/text/a.cc", '#include "text/a.h"\n#include "book/b.h"\n')
        self.assertEqual(
            self.found(),
            ["libcore/src/text/a.cc:2: room text may not include from the later room book"],
        )

    def test_include_around_the_rooms(self) -> None:
        self.write("libcore/src/book/a.cc", '#include "../text/a.h"\n#include "a.h"\n')
        self.assertEqual(len(self.found()), 2)

    def test_library_of_another_room(self) -> None:
        self.write("libcore/src/book/a.cc", "#include <boost/x.hpp>\n#include <nlohmann/json.hpp>\n")
        self.assertEqual(len(self.found()), 2)

    def test_public_header_inside(self) -> None:
        self.write("libcore/src/book/a.cc", "#include <groundrule/groundrule.h>\n")
        self.assertEqual(len(self.found()), 1)

    def test_unknown_room(self) -> None:
        self.write("libcore/src/helpers/a.cc", "")
        self.assertEqual(len(self.found()), 1)

    def test_what_belongs_to_the_host(self) -> None:
        for use in (
            "std::cout << 1;",
            "std::cerr << 1;",
            'printf("x");',
            'std::fprintf(stderr, "x");',
            "std::abort();",
            "exit(1);",
            'std::getenv("X");',
        ):
            with self.subTest(use):
                self.write("libcore/src/text/a.cc", f"void f() {{\n  {use}\n}}\n")
                self.assertEqual(len(self.found()), 1)

    def test_what_only_looks_so(self) -> None:
        self.write(
            "libcore/src/text/a.cc",
            "// never abort()\n"
            "/* nor\n exit(1) */\n"
            'const char *a = "printf(";\n'
            'const char *b = R"x(getenv("HOME"))x";\n'
            "int c = std::snprintf(buffer, 1'000, format) + scope.exit() + reader->abort();\n",
        )
        self.assertEqual(self.found(), [])

    def test_long_file(self) -> None:
        self.write("tests/python/a.py", "x = 1\n" * (lint.MAX_LINES + 1))
        self.write("tests/python/b.py", "x = 1\n" * lint.MAX_LINES)
        self.assertEqual(len(self.found()), 1)

    def test_build_output_is_left_out(self) -> None:
        self.write("build/release/a.cc", "x\n" * 1000)
        self.write(".venv/a.py", "x\n" * 1000)
        self.assertEqual(self.found(), [])

    def test_binding_sees_public_headers_only(self) -> None:
        self.write("bindings/python/src/a.cc", '#include "book/a.h"\n')
        self.assertEqual(len(self.found()), 1)


if __name__ == "__main__":
    unittest.main()
