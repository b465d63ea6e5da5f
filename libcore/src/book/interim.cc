#include "book/interim.h"

#include <algorithm>

namespace groundrule::book {

namespace {

struct Heading {
    const ast::Header *header = nullptr;
    Span span;
};

std::vector<Heading> amendments(const Book &book) {
    std::vector<Heading> out;
    for (const ast::File &file : book.files) {
        if (!file.decls.empty() && file.decls.front().kind == ast::DeclKind::amendment)
            out.push_back(
                {&std::get<ast::Header>(file.decls.front().body), file.decls.front().head});
    }
    return out;
}

bool holds(const std::vector<std::string> &names, const ast::Header &header) {
    return std::find(names.begin(), names.end(), header.names.front().text) != names.end();
}

// What the publisher of the edition made, not a jurisdiction.
bool is_interim(const ast::Header &header, const std::string &edition) {
    return !header.publisher.empty() && header.base.text == edition;
}

// Of the amendments of the name; they must not tell different ones.
Heading policy_of(const std::vector<Heading> &all, const std::vector<std::string> &names,
                  Diagnostics &diagnostics) {
    Heading out;
    for (const Heading &h : all) {
        if (!holds(names, *h.header) || h.header->interim.empty())
            continue;
        if (out.header != nullptr && out.header->interim != h.header->interim) {
            Diagnostic &d = diagnostics.error(
                "layers-disagree", h.span,
                "two layers take in other interim amendments: `interim " + out.header->interim +
                    "` and `interim " + h.header->interim + "`");
            d.other = out.span;
            d.other_is = "the other one";
        }
        out = h;
    }
    return out;
}

// A date is told as `as of`; an amendment whose own date is not known is taken in by name only.
bool takes(const std::string &policy, const ast::Header &interim) {
    if (policy == "all" || policy == "none")
        return policy == "all";
    return !interim.effective.empty() && interim.effective <= policy;
}

} // namespace

bool takes_interim(const ast::Header &header) {
    return !header.interim.empty() && header.interim != "none";
}

std::vector<std::string> with_interim(const BookName &name, const Book &book,
                                      Diagnostics &diagnostics) {
    const std::vector<Heading> all = amendments(book);
    const Heading policy = policy_of(all, name.amendments, diagnostics);
    if (policy.header == nullptr)
        return name.amendments;
    std::vector<const ast::Header *> taken;
    for (const Heading &h : all) {
        if (!is_interim(*h.header, name.edition))
            continue;
        const bool by_name = holds(name.amendments, *h.header);
        const bool undated = h.header->effective.empty() && policy.header->interim != "none";
        if (!by_name && takes(policy.header->interim, *h.header)) {
            taken.push_back(h.header);
        } else if (by_name && !undated && !takes(policy.header->interim, *h.header)) {
            Diagnostic &d =
                diagnostics.error("interim-not-adopted", policy.span,
                                  "this amendment does not take in the interim amendment " +
                                      h.header->names.front().text + ", which the book names");
            d.help = "leave it out of the book's name, or change the line `interim`";
            d.other = h.span;
            d.other_is = "the interim amendment";
        }
    }
    std::sort(taken.begin(), taken.end(), [](const ast::Header *a, const ast::Header *b) {
        return std::pair(a->effective, a->names.front().text) <
               std::pair(b->effective, b->names.front().text);
    });
    std::vector<std::string> out;
    out.reserve(taken.size() + name.amendments.size());
    for (const ast::Header *h : taken)
        out.push_back(h->names.front().text);
    out.insert(out.end(), name.amendments.begin(), name.amendments.end());
    return out;
}

} // namespace groundrule::book
