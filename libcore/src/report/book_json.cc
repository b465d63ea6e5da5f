// Name, layers and gaps of a book.
#include "report/book_json.h"

namespace groundrule::report {

Json book_json(const book::Book &book) {
    Json layers = Json::array();
    for (const book::Layer &l : book.layers) {
        Json layer = {{"name", l.name}, {"title", l.title}, {"publisher", l.publisher}};
        if (!l.effective.empty())
            layer["effective"] = l.effective;
        layers.push_back(std::move(layer));
    }
    return {{"name", book.name}, {"digest", book.digest}, {"layers", std::move(layers)}};
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
