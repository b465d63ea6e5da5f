#include "book/overlaps.h"

#include "book/draft.h"

#include <algorithm>

namespace groundrule::book {

namespace {

class Finder {
  public:
    Finder(const Book &book, Diagnostics &diagnostics)
        : book_(book), draft_(*book.draft), diagnostics_(diagnostics) {}

    void run() {
        for (const DraftRule &r : draft_.rules) {
            if (r.deleted)
                continue;
            for (const DraftLimit &l : r.limits)
                hides(l.limit.reading ? "reading" : "limit", l.limit.name, item_of(r),
                      "in rule " + r.decl.citation.text);
        }
        for (const Rule &r : book_.rules)
            stands_beside(r);
    }

  private:
    // A rule may leave it to its clause.
    std::int32_t item_of(const DraftRule &rule) const {
        const auto typed = std::find_if(book_.rules.begin(), book_.rules.end(), [&](const Rule &r) {
            return r.topic == rule.decl.topic.text;
        });
        return typed != book_.rules.end() ? typed->item : find_item(book_, rule.decl.item.text);
    }

    void hides(const char *what, const ast::Name &name, std::int32_t of, const std::string &where) {
        if (of < 0)
            return;
        const Item &item = book_.items[static_cast<std::size_t>(of)];
        const std::int32_t field = find_field(item, name.text);
        const auto define =
            std::find_if(book_.defines.begin(), book_.defines.end(),
                         [&](const Define &d) { return d.item == of && d.name == name.text; });
        if (field < 0 && define == book_.defines.end())
            return;
        Diagnostic &d =
            diagnostics_.warning("hides-name", name.span,
                                 "the " + std::string(what) + " `" + name.text + "` hides the " +
                                     (field < 0 ? "definition " : "fact ") + item.name + "." +
                                     name.text + ": " + where + " the name means the " + what);
        d.help = "give the " + std::string(what) + " another name";
        d.other = field < 0 ? define->span : item.fields[static_cast<std::size_t>(field)].span;
        d.other_is = "what is hidden";
    }

    void stands_beside(const Rule &own) {
        if (own.layer == 0)
            return;
        for (const Rule &r : book_.rules) {
            if (r.layer >= own.layer || r.citation != own.citation || r.item != own.item ||
                displaces(own, r))
                continue;
            Diagnostic &d = diagnostics_.warning(
                "same-number", own.span,
                "rule " + r.citation + " (" + r.topic +
                    ") stands already and binds the same kind of item; now both hold");
            d.help = "to put this one in its place write `replace rule`, or `displaces " + r.topic +
                     "`; else give it a number of its own";
            d.other = r.span;
            d.other_is = "the rule that stands already";
            return;
        }
    }

    static bool displaces(const Rule &own, const Rule &other) {
        return std::any_of(other.exceptions.begin(), other.exceptions.end(),
                           [&](const Part &p) { return p.displaced_by == own.citation; });
    }

    const Book &book_;
    const Draft &draft_;
    Diagnostics &diagnostics_;
};

} // namespace

void find_overlaps(const Book &book, Diagnostics &diagnostics) {
    Finder(book, diagnostics).run();
}

} // namespace groundrule::book
