// Changes first, by the rules that they are about; then what is finer than a rule: parts and rows.
#include "evaluate/untested.h"

#include "book/expression_text.h"
#include "book/figure_text.h"
#include "book/reach.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <set>

namespace groundrule::evaluate {

namespace {

using book::Book;
using book::Part;
using book::Rule;
using book::Table;

std::pair<std::uint32_t, std::uint32_t> place_of(Span span) {
    return {span.file, span.begin};
}

class Untested {
  public:
    Untested(const Book &book, const Coverage &reached, Diagnostics &diagnostics)
        : book_(book), reached_(reached), diagnostics_(diagnostics),
          layer_(static_cast<std::int32_t>(book.layers.size()) - 1) {}

    void run() {
        changes();
        parts();
        for (std::size_t i = 0; i < book_.tables.size(); ++i)
            rows(i);
    }

  private:
    void warn(Span span, const std::string &message, std::string help = {}) {
        diagnostics_.warning("untested", span, "no test reaches this: " + message).help =
            std::move(help);
    }

    static std::string named(const Rule &r) { return "rule " + r.citation + " (" + r.topic + ")"; }

    // --- changes, one text at a time

    struct Text {
        Span span;
        std::set<std::size_t> rules;
        std::set<std::string> shared;
    };

    void changes() {
        std::vector<Text> texts;
        std::map<std::pair<std::uint32_t, std::uint32_t>, std::size_t> known;
        for (const book::LayerChange &c : book_.changes) {
            if (c.layer != layer_)
                continue;
            const auto [at, fresh] = known.try_emplace(place_of(c.span), texts.size());
            if (fresh)
                texts.push_back({c.span, {}, {}});
            Text &text = texts[at->second];
            if (!c.shared.empty())
                text.shared.insert(c.shared);
            for (std::size_t i = 0; i < book_.rules.size(); ++i) {
                if (std::count(c.topics.begin(), c.topics.end(), book_.rules[i].topic) != 0)
                    text.rules.insert(i);
            }
        }
        for (const Text &text : texts)
            change(text);
    }

    void change(const Text &text) {
        for (const std::string &shared : text.shared) {
            if (!rows_are_told(shared) && is_read(shared) && !is_rested_on(shared))
                warn(text.span, "none is about a rule that rests on the " + shared);
        }
        if (text.rules.empty() || std::any_of(text.rules.begin(), text.rules.end(),
                                              [&](std::size_t r) { return reached_.tested(r); }))
            return;
        const Rule &first = book_.rules[*text.rules.begin()];
        if (text.rules.size() == 1)
            warn(text.span, "none is about " + named(first),
                 "write `test " + first.topic +
                     "` in this file, with a job and the verdict that is meant");
        else
            warn(text.span, "none is about any of the " + std::to_string(text.rules.size()) +
                                " rules that it changes, " + named(first) + " among them");
    }

    // --- what rules rest on

    bool rows_are_told(const std::string &shared) const {
        return std::any_of(book_.tables.begin(), book_.tables.end(), [&](const Table &t) {
            return "table " + t.name == shared && has_text_of_layer(t);
        });
    }

    bool has_text_of_layer(const Table &t) const {
        return std::count(t.layers.begin(), t.layers.end(), layer_) != 0;
    }

    // By any rule at all; what none reads is told as unused.
    bool is_read(const std::string &shared) {
        read_ = read_ ? read_ : names_read([](std::size_t) { return true; });
        return read_->contains(shared);
    }

    bool is_rested_on(const std::string &shared) {
        rested_on_ = rested_on_
                         ? rested_on_
                         : names_read([&](std::size_t rule) { return reached_.tested(rule); });
        return rested_on_->contains(shared);
    }

    template <typename Counts>
    std::set<std::string> names_read(Counts counts) const {
        book::Reached all;
        for (std::size_t i = 0; i < book_.rules.size(); ++i) {
            if (counts(i))
                book::reach(book_, book_.rules[i], all);
        }
        std::set<std::string> out;
        for (const std::int32_t i : all.defines) {
            const book::Define &d = book_.defines[static_cast<std::size_t>(i)];
            const std::string owner =
                d.item < 0 ? "" : book_.items[static_cast<std::size_t>(d.item)].name + ".";
            out.insert("definition " + owner + d.name);
        }
        for (const std::int32_t i : all.tables)
            out.insert("table " + book_.tables[static_cast<std::size_t>(i)].name);
        for (const std::int32_t i : all.lists)
            out.insert("list " + book_.lists[static_cast<std::size_t>(i)].name);
        for (const book::NodeId test : all.choices) {
            for (const book::Group *g : book::groups_named(book_, test))
                out.insert("group " + g->name);
        }
        return out;
    }

    // --- parts of rules that have tests

    void parts() {
        struct Seen {
            Span span;
            std::string name;
            bool held = false;
        };
        std::vector<Seen> texts;
        std::map<std::pair<std::uint32_t, std::uint32_t>, std::size_t> known;
        for (std::size_t i = 0; i < book_.rules.size(); ++i) {
            const auto parts = parts_of(book_.rules[i]);
            for (std::size_t k = 0; k < parts.size() && reached_.tested(i); ++k) {
                const Part &p = *parts[k];
                if (p.layer != layer_ || !p.encoded || !p.displaced_by.empty())
                    continue;
                const Span span = written_at(p);
                const auto [at, fresh] = known.try_emplace(place_of(span), texts.size());
                if (fresh)
                    texts.push_back({span, named(p) + " of " + named(book_.rules[i])});
                texts[at->second].held = texts[at->second].held || reached_.held(i, k);
            }
        }
        for (const Seen &text : texts) {
            if (!text.held)
                warn(text.span, "in none does " + text.name + " hold");
        }
    }

    // A part that the layer narrowed or widened stands below; what was joined to it does not.
    Span written_at(const Part &p) const {
        const bool own = std::any_of(book_.changes.begin(), book_.changes.end(),
                                     [&](const book::LayerChange &c) {
                                         return c.layer == layer_ && c.span.file == p.span.file;
                                     });
        return own ? p.span : book_.nodes[p.node].span;
    }

    static std::string named(const Part &p) {
        static constexpr const char *words[] = {"part ", "exception ", "path ", "permission "};
        const std::string name = p.label.empty() ? "\"" + p.title + "\"" : p.label;
        return words[static_cast<std::size_t>(p.kind)] + name;
    }

    // --- rows of tables

    // The cell with which the row of a cell begins.
    static std::size_t row_of(const Table &t, std::size_t cell) {
        std::size_t rest = cell / t.types.size();
        std::size_t row = 0;
        std::size_t weight = 1;
        for (std::size_t k = t.keys.size(); k-- > 0;) {
            row += t.keys[k].across ? 0 : rest % t.counts[k] * weight;
            rest /= t.counts[k];
            weight *= t.counts[k];
        }
        return row * t.types.size();
    }

    // The keys down the side, or all keys of a cell that was changed alone.
    std::string row_text(const Table &t, std::size_t row, const std::vector<std::size_t> &cells) {
        if (cells.size() == 1)
            return book::key_text(book_, t, cells.front());
        std::size_t rest = row / t.types.size();
        std::string out;
        for (std::size_t k = t.keys.size(); k-- > 0;) {
            if (!t.keys[k].across) {
                if (!out.empty())
                    out.insert(0, ", ");
                out.insert(0, book::cell_text(book_, t.keys[k].type,
                                              t.keys[k].values[rest % t.counts[k]]));
            }
            rest /= t.counts[k];
        }
        return "[" + out + "]";
    }

    void rows(std::size_t table) {
        const Table &t = book_.tables[table];
        if (!has_text_of_layer(t) || !is_read("table " + t.name))
            return;
        std::map<std::size_t, std::vector<std::size_t>> rows; // the layer's filled cells
        for (std::size_t c = 0; c < t.cells.size(); ++c) {
            if (t.layers[c] == layer_ && !std::isnan(t.cells[c]))
                rows[row_of(t, c)].push_back(c);
        }
        std::string unread;
        std::size_t count = 0;
        Span span = t.span;
        for (const auto &[row, cells] : rows) {
            if (std::any_of(cells.begin(), cells.end(),
                            [&](std::size_t c) { return reached_.read(table, c); }))
                continue;
            if (++count == 1 && t.places[cells.front()].file != Span::no_file)
                span = t.places[cells.front()];
            if (count <= most_rows)
                unread += (count > 1 ? ", " : "") + row_text(t, row, cells);
        }
        if (count > most_rows)
            unread += " and " + std::to_string(count - most_rows) + " more";
        if (count > 0)
            warn(span, std::string("none reads the row") + (count > 1 ? "s " : " ") + unread +
                           " of table " + t.name);
    }

    static constexpr std::size_t most_rows = 4; // that one message names

    const Book &book_;
    const Coverage &reached_;
    Diagnostics &diagnostics_;
    std::int32_t layer_;
    std::optional<std::set<std::string>> read_;
    std::optional<std::set<std::string>> rested_on_;
};

} // namespace

void find_untested(const Book &book, const Coverage &reached, Diagnostics &diagnostics) {
    if (book.layers.size() > 1)
        Untested(book, reached, diagnostics).run();
}

} // namespace groundrule::evaluate
