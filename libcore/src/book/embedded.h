// The rule sets that ship inside the library.
//
// The definitions are generated at build time, one entry for each file rulesets/**/*.rules, sorted
// by path. Nothing here reads or checks the texts.

#pragma once

namespace groundrule::book {

struct EmbeddedFile {
    const char *path;   // relative to rulesets/, with forward slashes
    const char *text;   // the bytes of the file, followed by a zero
    unsigned long size; // without that zero
};

extern const EmbeddedFile embedded_files[];
extern const unsigned long embedded_file_count;

} // namespace groundrule::book
