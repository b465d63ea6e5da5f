#include "report/mutation.h"

#include "report/book_json.h"
#include "report/paragraph.h"

namespace groundrule::report {

std::string to_json(const book::Book &book, const mutate::Mutation &mutation) {
    Json survivors = Json::array();
    for (const mutate::Mutant &m : mutation.survivors) {
        const SourceText &source = book.sources[m.span.file];
        const Place place = source.place(m.span.begin);
        survivors.push_back({{"file", source.name()},
                             {"line", place.line},
                             {"column", place.column},
                             {"in", m.subject},
                             {"kind", m.kind},
                             {"from", on_one_line(m.from)},
                             {"to", on_one_line(m.to)}});
    }
    const Json out = {{"book", book_json(book)},
                      {"mutants", mutation.mutants},
                      {"killed", mutation.killed()},
                      {"survivors", std::move(survivors)}};
    return out.dump(2) + "\n";
}

std::string to_text(const book::Book &book, const mutate::Mutation &mutation) {
    std::string out;
    for (const mutate::Mutant &m : mutation.survivors) {
        const SourceText &source = book.sources[m.span.file];
        const Place place = source.place(m.span.begin);
        out += source.name() + ":" + std::to_string(place.line) + ":" +
               std::to_string(place.column) + ": " + m.subject + ": " + m.kind + ": " +
               on_one_line(m.from) + " -> " + on_one_line(m.to) + "\n";
    }
    return out + std::to_string(mutation.killed()) + " of " + std::to_string(mutation.mutants) +
           " mutants killed, " + std::to_string(mutation.survivors.size()) + " survive\n";
}

} // namespace groundrule::report
