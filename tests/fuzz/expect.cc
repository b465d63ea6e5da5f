#include "expect.h"

#include <cstdio>
#include <cstdlib>

namespace groundrule::fuzz {

namespace {

void expect_inside(Span span, const Sources &sources) {
    if (span.file == Span::no_file)
        return;
    expect(span.file < sources.size(), "a fault lies in a file that exists");
    const std::size_t size = sources[span.file].text().size();
    expect(span.begin <= span.end, "a fault does not end before it begins");
    expect(span.end <= size || (span.begin == size && span.end == size + 1),
           "a fault lies inside its file");
}

} // namespace

void expect(bool condition, const char *words) {
    if (condition)
        return;
    std::fprintf(stderr, "expected: %s\n", words);
    std::abort();
}

void expect_sound(const Diagnostics &diagnostics, const Sources &sources) {
    for (const Diagnostic &d : diagnostics.list()) {
        expect(!d.code.empty() && !d.message.empty(), "a fault has a code and words");
        expect_inside(d.span, sources);
        expect_inside(d.other, sources);
        // The line at fault is shown as it stands, so text that is not UTF-8 stays so.
        const std::string shown = render(d, sources);
        expect(d.code == "not-utf-8" || first_bad_utf8(shown) == std::string::npos,
               "a fault is told in UTF-8");
    }
}

} // namespace groundrule::fuzz
