// What nothing reaches, and what messages may miss.
#include "book/lint.h"

#include "book/overlaps.h"
#include "book/reach.h"
#include "book/sure_facts.h"

#include <algorithm>

namespace groundrule::book {

namespace {

class Linter {
  public:
    Linter(const Book &book, Diagnostics &diagnostics)
        : book_(book), diagnostics_(diagnostics), sure_(book) {}

    void run() {
        Reached all;
        for (const Item &item : book_.items) {
            for (const Field &f : item.fields) {
                for (const NodeId n : f.implied)
                    reach(book_, n, all);
            }
        }
        for (const Rule &r : book_.rules)
            rule(r, all);
        for (const LayerChange &c : book_.changes) {
            if (!c.from.empty() && c.from == c.to)
                warn("changes-nothing", c.span, "what this puts there stands there already");
        }
        for (std::size_t i = 0; i < book_.defines.size(); ++i)
            unread(all.defines, i, "definition", book_.defines[i].name, book_.defines[i].span);
        for (std::size_t i = 0; i < book_.tables.size(); ++i)
            unread(all.tables, i, "table", book_.tables[i].declared, book_.tables[i].span);
        for (std::size_t i = 0; i < book_.lists.size(); ++i)
            unread(all.lists, i, "list", book_.lists[i].declared, book_.lists[i].span);
        for (const Group &g : book_.groups) {
            if (!g.read)
                warn("unused", g.span, "nothing in this book reads the group " + g.name);
        }
    }

  private:
    void warn(const char *code, Span span, std::string message, std::string help = {}) {
        diagnostics_.warning(code, span, std::move(message)).help = std::move(help);
    }

    void unread(const std::set<std::int32_t> &reached, std::size_t index, const char *what,
                const std::string &name, Span span) {
        if (!reached.contains(static_cast<std::int32_t>(index)))
            warn("unused", span,
                 std::string("nothing in this book reads the ") + what + " " + name);
    }

    void rule(const Rule &r, Reached &all) {
        Reached own;
        reach(book_, r, own);
        const bool tells_requirement =
            r.requirement != no_node || !r.paths.empty() || !r.permits.empty();
        if (tells_requirement)
            unsure(r, own);
        for (const MessagePart &piece : r.says) {
            Reached told;
            reach(book_, piece.value, told);
            for (const auto &fact : told.facts) {
                if (tells_requirement && !own.facts.contains(fact)) {
                    const Item &item = book_.items[static_cast<std::size_t>(fact.first)];
                    warn("unasked-value", book_.nodes[piece.value].span,
                         "the message names " + item.name + "." +
                             item.fields[static_cast<std::size_t>(fact.second)].name +
                             ", which the rule does not ask for: it may be unknown when the "
                             "message is told");
                }
            }
            all.merge(told);
        }
        all.merge(own);
    }

    // A fact that the rule asks for may be open all the same, where another decides.
    void unsure(const Rule &r, const Reached &asked) {
        const Sure violated = sure_.violated(r);
        unsure(r.says, violated, asked);
        for (const Part &p : r.listed)
            unsure(p.says, sure_.holds(p.node).join(violated), asked);
    }

    void unsure(const std::vector<MessagePart> &message, const Sure &violated,
                const Reached &asked) {
        for (const MessagePart &piece : message) {
            if (piece.value == no_node || sure_.covers(violated, piece.value))
                continue;
            Reached told;
            reach(book_, piece.value, told);
            const bool all_asked = std::includes(asked.facts.begin(), asked.facts.end(),
                                                 told.facts.begin(), told.facts.end());
            if (all_asked) // else it is told below
                warn("unsure-value", book_.nodes[piece.value].span,
                     "this value may be unknown when the message is told: the rule can be "
                     "violated whatever it is",
                     "name a value that decides, or none");
        }
    }

    const Book &book_;
    Diagnostics &diagnostics_;
    SureFacts sure_;
};

} // namespace

void lint(const Book &book, Diagnostics &diagnostics) {
    Linter(book, diagnostics).run();
    find_overlaps(book, diagnostics);
}

} // namespace groundrule::book
