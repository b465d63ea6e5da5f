#include "lint_plan.h"

#include <algorithm>
#include <sstream>
#include <utility>

namespace command {

namespace {

struct Header {
    std::string kind; // vocabulary, edition, part, adoption, amendment; empty if none of these
    std::vector<std::string> names; // of the edition, the editions or the amendment
    std::string base;               // of an amendment
    bool published = false;         // an amendment of the edition's publisher: an interim one
};

bool in_column_one(const std::string &line) {
    return !line.empty() && line[0] != ' ' && line[0] != '\t' && line[0] != '\r';
}

// Its first line, and whether a line below it names a publisher.
std::pair<std::string, bool> first_declaration(const std::string &text) {
    std::istringstream lines(text);
    std::string first;
    for (std::string line; std::getline(lines, line);) {
        line.resize(std::min(line.find('#'), line.size()));
        if (in_column_one(line) && !first.empty())
            break;
        if (in_column_one(line)) {
            first = line;
            continue;
        }
        std::istringstream words(line);
        std::string word;
        if (words >> word && word == "publisher")
            return {first, true};
    }
    return {first, false};
}

// A header that is itself at fault may be read in any way: opening the file tells the fault.
Header header_of(const std::string &text) {
    auto [line, published] = first_declaration(text);
    std::replace(line.begin(), line.end(), ',', ' ');
    std::istringstream words(line);
    Header header;
    header.published = published;
    words >> header.kind;
    for (std::string word; words >> word;) {
        if (word == "to")
            words >> header.base;
        else if (word != "of")
            header.names.push_back(word);
    }
    const bool known = header.kind == "vocabulary" || header.kind == "edition" ||
                       header.kind == "part" || header.kind == "adoption" ||
                       header.kind == "amendment";
    return known ? header : Header{};
}

std::vector<std::string> layers_of(const std::string &book) {
    std::vector<std::string> layers;
    std::istringstream names(book);
    for (std::string name; std::getline(names, name, '+');)
        layers.push_back(name);
    return layers;
}

bool holds(const std::vector<std::string> &list, const std::string &name) {
    return std::find(list.begin(), list.end(), name) != list.end();
}

std::vector<std::string> books_for(const Header &header, const std::string &base) {
    if (header.kind == "amendment" && !header.names.empty()) {
        const std::string below = base.empty() ? header.base : base;
        const std::string &own = header.names.front();
        return {holds(layers_of(below), own) ? below : below + "+" + own};
    }
    if (!base.empty() && header.kind != "adoption")
        return {base};
    return header.names;
}

// What an amendment may take text from, other editions and interim amendments, belongs to it too.
bool belongs(const Header &header, const std::vector<std::string> &layers) {
    const bool takes = layers.size() > 1 && (header.kind == "edition" || header.kind == "part" ||
                                             (header.kind == "amendment" && header.published));
    return takes || header.names.empty() ||
           std::any_of(header.names.begin(), header.names.end(),
                       [&](const std::string &name) { return holds(layers, name); });
}

// For files that name no book: a vocabulary, or one without a header.
std::string any_book() {
    const auto editions = groundrule::shipped_editions();
    return editions.empty() ? std::string() : std::string(editions.back());
}

} // namespace

std::vector<Opening> plan_lint(const std::vector<File> &files, const std::string &base) {
    std::vector<Header> headers;
    std::vector<std::string> books;
    for (const File &file : files) {
        headers.push_back(header_of(file.text));
        for (const std::string &book : books_for(headers.back(), base)) {
            if (!holds(books, book))
                books.push_back(book);
        }
    }
    if (books.empty())
        books.push_back(any_book());

    // Amendments of the same edition may be those of two cities: each is opened without the other
    // unless the base names it.
    std::vector<Opening> openings;
    for (const std::string &book : books) {
        Opening opening{book, {}};
        for (std::size_t i = 0; i < files.size(); ++i) {
            if (belongs(headers[i], layers_of(book)))
                opening.sources.push_back({files[i].name, files[i].text});
        }
        openings.push_back(std::move(opening));
    }
    return openings;
}

} // namespace command
