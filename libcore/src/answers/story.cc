#include "answers/story.h"

#include "report/values.h"

#include <cmath>

namespace groundrule::answers {

namespace {

StoryPart part(const Explanation &e, const char *key, const char *heading,
               const std::vector<Line> &lines) {
    StoryPart out{key, heading, {}};
    for (const Line &line : lines)
        out.lines.push_back({&line, shown(e, line.step), figures(e, line.step)});
    return out;
}

// Of a row that stands for a range: which it is.
std::string row_of(const book::Book &book, const Explanation &e, const Step &s) {
    const book::Table &table = book.tables[static_cast<std::size_t>(s.index)];
    if (s.layer < 0)
        return {};
    std::string out;
    std::size_t rest = s.cell / table.types.size();
    for (std::size_t k = table.keys.size(); k-- > 0;) {
        const book::Key &key = table.keys[k];
        const double row = key.values[rest % table.counts[k]];
        rest /= table.counts[k];
        const double scale = scale_of(key.type);
        if (on_grid(row, scale) == on_grid(e.steps[s.parts[k]].value.value, scale))
            continue;
        std::string before = "row " + key.name;
        before += key.match == ast::KeyMatch::at_most ? " up to " : " from ";
        before += value_text(book, key.type, row);
        if (!out.empty())
            before += ", ";
        out.insert(0, before);
    }
    return out;
}

std::string from(const book::Book &book, const Explanation &e, const Step &s) {
    switch (s.source) {
    case Source::implied:
        return "implied by " + (s.from.empty() ? "the other facts" : s.from);
    case Source::not_told:
        return "not told: " + s.words;
    case Source::derived:
    case Source::called:
        return s.from.empty() ? "derived" : "derived: " + s.from;
    case Source::limit:
        return "limit of the rule";
    case Source::table: {
        const std::string row = row_of(book, e, s);
        return (row.empty() ? "" : row + "; ") + s.from;
    }
    case Source::list:
        return s.from;
    case Source::counted:
        return std::string("over the list, which is ") +
               (s.complete ? "complete" : "not said to be complete");
    case Source::whole:
        return s.complete ? "said to be complete" : "not said to be complete";
    case Source::rule:
        return s.from;
    default:
        return source_name(s.source);
    }
}

StoryValue value(const Explanation &e, std::uint32_t at) {
    const Step &s = e.steps[at];
    StoryValue out;
    out.step = &s;
    out.value = shown(e, at);
    out.from = from(*e.book, e, s);
    if (s.layer >= 0)
        out.layer = e.book->layers[static_cast<std::size_t>(s.layer)].name;
    if (s.source == Source::derived || s.source == Source::called || s.source == Source::counted)
        out.words = s.words;
    const std::string how = figures(e, at);
    if (!how.empty())
        out.figures = how + " = " + out.value;
    return out;
}

} // namespace

Story story(const Explanation &e) {
    Story out;
    for (StoryPart &p : std::vector<StoryPart>{
             part(e, "binds", "Binds this kind of work", e.bound),
             part(e, "conditions", "Applies where all of these hold", e.conditions),
             part(e, "listed", "and one of the listed parts", e.listed),
             part(e, "exceptions", "unless an exception holds", e.exceptions),
             part(e, "requirement", "Requires", e.requirement),
             part(e, "paths", "Met by one of", e.paths),
             part(e, "permits", "Has to fit one of", e.permits)}) {
        if (!p.lines.empty())
            out.parts.push_back(std::move(p));
    }
    for (const std::uint32_t at : e.named)
        out.values.push_back(value(e, at));
    return out;
}

} // namespace groundrule::answers
