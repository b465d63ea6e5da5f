// Rule text through the parser and, if it parses, into a book.
//
// Cut: texts that do not parse go no further, since a book never sees them; a file that is no
// header's is opened beside the edition, which only checks that it is refused. Bounds on size are
// not reached here (a fuzzer's inputs are small): tests/unit/text/limits_test.cc has them.
#include "open_text.h"

#include "syntax/parse.h"

#include <cstdint>

namespace groundrule::fuzz {

namespace {

// The book in which a file with this header has a say.
std::string book_for(const ast::File &file) {
    const std::string base = "nec-2020";
    if (file.decls.empty())
        return base;
    const auto *header = std::get_if<ast::Header>(&file.decls.front().body);
    if (header == nullptr || header->names.empty())
        return base;
    const std::string &name = header->names.front().text;
    if (file.decls.front().kind == ast::DeclKind::amendment)
        return base + "+" + name;
    return file.decls.front().kind == ast::DeclKind::edition ? name : base;
}

} // namespace

} // namespace groundrule::fuzz

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t *data, std::size_t size) {
    using namespace groundrule;
    const std::string text(reinterpret_cast<const char *>(data), size);
    const Sources sources = {SourceText("fuzz.rules", text)};
    Diagnostics faults;
    const ast::File file = syntax::parse(sources[0], 0, faults);
    fuzz::expect_sound(faults, sources);
    if (!faults.has_errors())
        fuzz::expect_opens_soundly(fuzz::book_for(file), text);
    return 0;
}
