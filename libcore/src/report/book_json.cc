// Name, layers and gaps of a book.
#include "report/book_json.h"

#include "book/digest.h"

namespace groundrule::report {

namespace {

Json layers_json(const std::vector<book::Layer> &layers) {
    Json out = Json::array();
    for (const book::Layer &l : layers) {
        Json layer = {{"name", l.name}, {"title", l.title}, {"publisher", l.publisher}};
        if (!l.effective.empty())
            layer["effective"] = l.effective;
        if (!l.until.empty())
            layer["until"] = l.until;
        out.push_back(std::move(layer));
    }
    return out;
}

} // namespace

Json book_json(const book::Book &book) {
    Json out = {{"name", book.name},
                {"digest", book::digest_of(book)},
                {"layers", layers_json(book.layers)}};
    if (!book.on.empty())
        out["on"] = book.on;
    if (!book.not_in_force.empty())
        out["not_in_force"] = layers_json(book.not_in_force);
    return out;
}

Json not_encoded(const book::Book &book) {
    Json out = Json::array();
    for (const book::Gap &g : book.gaps)
        out.push_back({{"citation", g.citation}, {"says", g.text}});
    for (const book::Rule &r : book.rules) {
        for (const auto *parts : {&r.exceptions, &r.paths, &r.permits}) {
            for (const book::Part &p : *parts) {
                if (!p.encoded)
                    out.push_back(
                        {{"citation",
                          r.citation +
                              (p.kind == ast::Part::Kind::exception
                                   ? " Exception" + (p.label.empty() ? "" : " No. " + p.label)
                                   : p.label)},
                         {"says", p.title}});
            }
        }
    }
    return out;
}

} // namespace groundrule::report
