// The rule sets that ship inside the library.
//
// They are packed (raw deflate, RFC 1951) in two streams, since checks need no tests and tests are
// two thirds of the text: one of the files with an empty line for each line of a test, one of the
// files with an empty line for each other line. libcore/embed writes them when the library is
// built, sorted by path. Nothing here reads or checks the texts.
#pragma once

#include <string>

namespace groundrule::book {

struct EmbeddedFile {
    const char *path;         // relative to rulesets/, with forward slashes
    const char *heading;      // see heading.h
    unsigned long rules_size; // of its part of each stream, unpacked
    unsigned long tests_size;
};

struct Packed {
    const unsigned char *data;
    unsigned long size;
    unsigned long unpacked_size;
};

extern const EmbeddedFile embedded_files[];
extern const unsigned long embedded_file_count;
extern const Packed embedded_rules;
extern const Packed embedded_tests;

// Whether the tests beside the rules are wanted.
enum class Tests : bool { leave_out, read };

// The texts of the embedded files, unpacked.
class EmbeddedTexts {
  public:
    explicit EmbeddedTexts(Tests tests);

    // That of embedded_files[i]: byte for byte, or with empty lines where tests stand, so that
    // places stay what they are.
    std::string text(unsigned long i) const;

  private:
    std::string rules_;
    std::string tests_; // empty if they are left out
};

} // namespace groundrule::book
