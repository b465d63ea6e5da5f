#include "open_text.h"

#include "book/digest.h"
#include "book/open.h"
#include "evaluate/rule_tests.h"
#include "program/compile.h"
#include "syntax/format.h"

#include <algorithm>

namespace groundrule::fuzz {

namespace {

constexpr const char *file_name = "fuzz.rules";

std::string without_blanks(std::string text) {
    std::erase_if(text, [](char c) { return c == ' ' || c == '\t' || c == '\r' || c == '\n'; });
    return text;
}

// The text laid out anew: only blanks differ, and doing it again changes nothing.
std::string laid_out(const std::string &text) {
    Diagnostics faults;
    const auto once = syntax::format(SourceText(file_name, text), faults);
    expect(once.has_value(), "text of a book that opened can be laid out");
    expect(without_blanks(*once) == without_blanks(text), "layout changes blanks only");
    const auto twice = syntax::format(SourceText(file_name, *once), faults);
    expect(twice == once, "laying out twice is laying out once");
    return *once;
}

} // namespace

void expect_opens_soundly(const std::string &name, const std::string &text) {
    const book::Opened opened = book::open_book(name, {{file_name, text}});
    if (!opened.book) {
        expect(opened.diagnostics.has_errors(), "a book that does not open has a fault");
        expect_sound(opened.diagnostics, opened.sources);
        return;
    }
    expect(!opened.diagnostics.has_errors(), "a book that opens has no fault");
    Diagnostics faults;
    const program::Program program = program::compile(*opened.book, faults);
    expect_sound(faults, opened.book->sources);
    if (faults.has_errors())
        return;
    expect(program::fault_in(program).empty(), "every register is written before it is read");
    evaluate::run_rule_tests(*opened.book, program);

    const std::string anew = laid_out(text);
    if (anew == text)
        return;
    const book::Opened again = book::open_book(name, {{file_name, anew}});
    expect(again.book != nullptr, "text that was laid out anew still opens");
    expect(book::digest_of(*again.book) == book::digest_of(*opened.book), "layout has no meaning");
}

} // namespace groundrule::fuzz
