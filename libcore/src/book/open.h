// Opening a book by name.
#pragma once

#include "book/embedded.h"
#include "book/model.h"
#include "text/diagnostics.h"

#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace groundrule::book {

struct NamedText {
    std::string name; // as shown in diagnostics
    std::string text;
};

struct Opened {
    std::unique_ptr<const Book> book; // null if there are errors
    Diagnostics diagnostics;
    Sources sources; // for rendering the diagnostics when there is no book
};

// `more` are files of the caller, beside the shipped ones; a file that bears an amendment or
// edition which `name` asks for is put to use, others are only checked for their syntax. One whose
// path ends in that of a shipped file takes its place. Opened for a day (since 1970-01-01), the
// book leaves out the amendments that are not in force on it. Tests in shipped files can be left
// out; those in the caller's are always read. Reads no file and no clock.
Opened open_book(const std::string &name, const std::vector<NamedText> &more = {},
                 std::optional<int> on = std::nullopt, Tests shipped_tests = Tests::read);

// Where a requirement stands in one edition, by itself: what layers change is not counted.
struct Standing {
    std::string edition;
    std::string citation;
};
// By topic, the editions in order: those that ship, then those of the caller. An edition that does
// not have the requirement is left out.
using Lineage = std::map<std::string, std::vector<Standing>>;
// Of the requirements of an edition; empty if it is neither one that ships nor the caller's: then
// topics that are called alike tell nothing.
Lineage lineage(const std::string &of_edition, const std::vector<NamedText> &more = {});

std::vector<std::string> shipped_editions();
std::vector<std::string> shipped_amendments();
std::vector<std::string> shipped_adoptions();

} // namespace groundrule::book
