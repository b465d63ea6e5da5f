#include "mutate/mutants.h"

#include <algorithm>

namespace groundrule::mutate {

bool changed(const Files &files, Span span) {
    return span.file < files.size() && files[span.file] != 0;
}

std::string written(const book::Book &book, Span span) {
    return std::string(book.sources[span.file].text().substr(span.begin, span.end - span.begin));
}

std::vector<Mutant> mutants(const book::Book &book, const Reach &reach, const Files &files) {
    std::vector<Mutant> out;
    mutate_rules(book, reach, files, out);
    mutate_tables(book, reach, files, out);
    std::stable_sort(out.begin(), out.end(), [](const Mutant &a, const Mutant &b) {
        return std::pair(a.span.file, a.span.begin) < std::pair(b.span.file, b.span.begin);
    });
    return out;
}

} // namespace groundrule::mutate
