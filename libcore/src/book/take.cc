// Text of another edition in place of what stands: its rules, and what they rest on. What both
// editions tell alike is shared; what the other one tells otherwise comes along under a name of its
// own, so that the rules which stay go on reading theirs.
#include "book/amend_steps.h"
#include "book/clauses.h"
#include "book/draft_text.h"
#include "book/layers.h"
#include "book/made_expressions.h"
#include "book/open.h"
#include "book/references.h"
#include "book/typer_words.h"
#include "syntax/print.h"
#include "text/limits.h"

#include <algorithm>
#include <utility>

namespace groundrule::book {

namespace {

using ast::Expr;
using ast::ExprId;

std::string figure_text(const DraftTable &t, const Sources &sources) {
    std::string out;
    for (const ast::TableColumn &c : t.decl.gives)
        out += c.name.text + ":" + syntax::printed(c.type) + " ";
    for (const ast::TableKey &k : t.decl.keys)
        out +=
            k.name.text + ":" + syntax::printed(k.type) + std::to_string(static_cast<int>(k.match));
    for (const ast::TableRow &row : t.decl.rows) {
        for (const ast::Cell &cell : row.cells)
            out += "|" + syntax::printed(cell, sources);
    }
    return out;
}

std::string figure_text(const DraftList &l, const Sources &sources) {
    std::string out = syntax::printed(l.decl.type);
    for (const ast::Cell &cell : l.decl.values)
        out += "," + syntax::printed(cell, sources);
    return out;
}

// Of each kind a name has one declaration in an edition.
const std::string &called(const DraftTable &t) {
    return t.declared;
}
const std::string &called(const DraftList &l) {
    return l.declared;
}
const std::string &called(const DraftGroup &g) {
    return g.decl.name.text;
}

template <typename T>
const T *find(const std::vector<T> &list, const std::string &name) {
    for (const T &t : list) {
        if (called(t) == name)
            return &t;
    }
    return nullptr;
}

class Taking {
  public:
    Taking(const Applying &a, const Draft &other) : a_(a), other_(other), references_(other) {}

    void rule(const DraftRule &from) {
        DraftRule taken = from;
        const std::string within = from.decl.within.text;
        if (!within.empty() && !take_clause_of(taken, other_, *a_.draft.made, a_.diagnostics))
            a_.diagnostics.error("unknown-name", a_.change.target.citation.span,
                                 a_.change.edition.text + " has no clause with the topic `" +
                                     within + "`, within which " + name_of(from) + " stands");
        taken.decl.within = {};
        Standpoint from_here;
        from_here.item = taken.decl.item.text;
        for (const DraftLimit &l : taken.limits)
            from_here.own.insert(l.limit.name.text);
        rewrite(taken, from_here);
        taken.layer = a_.layer;
        taken.span = a_.head;
        add_rule_taken(std::move(taken));
    }

  private:
    void add_rule_taken(DraftRule taken) {
        for (const DraftRule &r : a_.draft.rules) {
            if (r.deleted || r.decl.topic.text != taken.decl.topic.text)
                continue;
            Diagnostic &d = a_.diagnostics.error("topic-twice", a_.change.target.citation.span,
                                                 "the topic `" + taken.decl.topic.text + "` of " +
                                                     a_.change.edition.text +
                                                     " is taken, by rule " + r.decl.citation.text);
            d.help = "delete that rule first, if this text takes its place";
            d.other = r.span;
            d.other_is = "by this rule";
            return;
        }
        a_.tell(name_of(taken), "", "as in " + a_.change.edition.text, {taken.decl.topic.text});
        a_.draft.rules.push_back(std::move(taken));
    }

    void rewrite(DraftRule &r, const Standpoint &from) {
        ast::File &made = *a_.draft.made;
        r.requirement = {&made, anew(*r.requirement.file, r.requirement.expr, from), a_.layer};
        for (DraftCondition &c : r.conditions)
            c.written = {&made, anew(*c.written.file, c.written.expr, from), a_.layer};
        for (DraftPart &p : r.parts) {
            p.part.where = anew(*p.file, p.part.where, from);
            rewrite(p.part.says, *p.says_file, from);
            p.file = p.says_file = &made;
            p.layer = a_.layer;
        }
        rewrite(r.decl.says, *r.file, from);
        for (DraftLimit &l : r.limits)
            l.layer = a_.layer;
        r.file = &made;
    }

    // The lines too, from which the book is printed.
    void rewrite(ast::Says &says, const ast::File &file, const Standpoint &from) {
        std::vector<std::string> lines(1);
        for (ast::MessagePiece &piece : says.pieces) {
            if (piece.value != ast::no_expr) {
                piece.value = anew(file, piece.value, from);
                lines.back() +=
                    "{" + syntax::printed(*a_.draft.made, piece.value, a_.book.sources) + "}";
            } else if (piece.text == "\n") {
                lines.emplace_back();
            } else {
                for (const char c : piece.text)
                    lines.back() += c == '{' ? std::string("{{") : std::string(1, c);
            }
        }
        for (std::size_t i = 0; i < std::min(lines.size(), says.lines.size()); ++i) {
            // A text can't hold quotes: a line that would need them stays as it was written.
            if (lines[i].find('"') == std::string::npos)
                says.lines[i].text = lines[i];
        }
    }

    // A copy in which what the other edition tells otherwise has its own name.
    ExprId anew(const ast::File &file, ExprId id, const Standpoint &from) {
        std::map<ExprId, std::vector<Named>> at;
        for (Reference &r : references_.in(file, id, from)) {
            (void)bring(r.named);
            if (renamed_.contains(r.named))
                at[r.at].push_back(std::move(r.named));
        }
        return copied(file, id, *a_.draft.made, [&](ExprId stood, Expr &e) {
            for (const Named &named : at[stood])
                rename(e, named);
        });
    }

    void rename(Expr &e, const Named &named) const {
        const std::string &name = renamed_.at(named);
        if (named.first == Thing::definition) {
            e.text = name;
        } else if (named.first == Thing::group) {
            for (ast::Name &choice : e.choices) {
                if (choice.text == named.second)
                    choice.text = name;
            }
        } else { // a name of its own is no clause number
            e.citation.text = name;
            e.citation.quoted = true;
        }
    }

    // --- what an expression rests on

    std::string text(const Draft &draft, const Named &named) const {
        const Sources &sources = a_.book.sources;
        switch (named.first) {
        case Thing::definition: {
            const DraftDefine *d = find(draft.defines, named.second);
            return d == nullptr ? "" : text_of(*d, sources);
        }
        case Thing::table: {
            const DraftTable *t = find(draft.tables, named.second);
            return t == nullptr ? "" : figure_text(*t, sources);
        }
        case Thing::list: {
            const DraftList *l = find(draft.lists, named.second);
            return l == nullptr ? "" : figure_text(*l, sources);
        }
        case Thing::group:
            break;
        }
        const DraftGroup *g = find(draft.groups, named.second);
        return g == nullptr ? "" : text_of(*g);
    }

    static Standpoint inside(const DraftDefine &d) {
        Standpoint out;
        out.item = d.decl.item.text;
        for (const ast::Parameter &p : d.decl.parameters)
            out.own.insert(p.name.text);
        return out;
    }

    // Of what the other edition has.
    std::vector<Reference> below(const Named &named) const {
        if (named.first != Thing::definition)
            return {};
        const DraftDefine &d = *find(other_.defines, named.second);
        return references_.in(*d.file, d.decl.value, inside(d));
    }

    // Whether the other edition tells it otherwise, itself or by what it rests on; then it comes
    // along. Of a circle, which is told elsewhere, what is open counts as alike.
    bool bring(const Named &named) { // NOLINT(misc-no-recursion)
        const auto [known, fresh] = differs_.try_emplace(named, false);
        const std::string theirs = fresh ? text(other_, named) : "";
        if (theirs.empty() || too_deep(named))
            return known->second;
        ++depth_;
        bool other = false;
        for (const Reference &r : below(named))
            other = bring(r.named) || other;
        --depth_;
        const std::string ours = text(a_.draft, named);
        other = other || (!ours.empty() && theirs != ours);
        known->second = other;
        if (other && !ours.empty())
            renamed_[named] = own_name(named);
        if (other || ours.empty())
            copy(named);
        return other;
    }

    // Such a book would not be lowered.
    bool too_deep(const Named &named) {
        if (depth_ < limits::lowering_depth)
            return false;
        a_.draft.broken.add_name(bare(named));
        if (!std::exchange(told_, true))
            a_.diagnostics.error("too-deep", a_.change.target.citation.span,
                                 "the definitions that this text of " + a_.change.edition.text +
                                     " rests on nest deeper than " +
                                     std::to_string(limits::lowering_depth));
        return true;
    }

    // Of a definition the part behind its item.
    static std::string bare(const Named &named) {
        return named.second.substr(named.second.find('.') + 1);
    }

    std::string own_name(const Named &named) const {
        std::string edition = a_.change.edition.text;
        if (named.first == Thing::table || named.first == Thing::list)
            return named.second + " of " + edition;
        std::replace(edition.begin(), edition.end(), '-', '_');
        return bare(named) + "_of_" + edition;
    }

    template <typename T>
    void copy_figure(const T &from, std::vector<T> &to, const Named &named) const {
        T taken = from;
        const auto other = renamed_.find(named);
        if (other != renamed_.end()) {
            taken.decl.citation = {other->second, from.decl.citation.span, true};
            taken.declared = other->second;
        }
        taken.layer = a_.layer;
        put(std::move(taken), to);
    }

    // Unless an earlier change took it.
    template <typename T>
    static void put(T taken, std::vector<T> &to) {
        if (find(to, called(taken)) == nullptr)
            to.push_back(std::move(taken));
    }

    void copy(const Named &named) { // NOLINT(misc-no-recursion)
        switch (named.first) {
        case Thing::definition: {
            DraftDefine taken = *find(other_.defines, named.second);
            taken.decl.value = anew(*taken.file, taken.decl.value, inside(taken));
            if (renamed_.contains(named))
                taken.decl.name.text = renamed_.at(named);
            taken.file = a_.draft.made.get();
            taken.layer = a_.layer;
            put(std::move(taken), a_.draft.defines);
            break;
        }
        case Thing::table:
            copy_figure(*find(other_.tables, named.second), a_.draft.tables, named);
            break;
        case Thing::list:
            copy_figure(*find(other_.lists, named.second), a_.draft.lists, named);
            break;
        case Thing::group: {
            DraftGroup taken = *find(other_.groups, named.second);
            if (renamed_.contains(named))
                taken.decl.name.text = renamed_.at(named);
            taken.layer = a_.layer;
            put(std::move(taken), a_.draft.groups);
            break;
        }
        }
    }

    const Applying &a_;
    const Draft &other_;
    References references_;
    std::map<Named, std::string> renamed_; // what goes by another name here
    std::map<Named, bool> differs_;        // what was looked at so far
    std::size_t depth_ = 0;
    bool told_ = false;
};

bool is_meant(const DraftRule &rule, const ast::Target &target) {
    return !rule.deleted && !rule.decl.clause && lies_in(rule.decl.citation.text, target) &&
           (target.topic.text.empty() || rule.decl.topic.text == target.topic.text);
}

bool stands(const Draft &draft, const std::string &topic) {
    return std::any_of(draft.rules.begin(), draft.rules.end(), [&](const DraftRule &r) {
        return !r.deleted && r.decl.topic.text == topic;
    });
}

} // namespace

void take_text(const Applying &a) {
    const std::string &edition = a.change.edition.text;
    const Draft *other = edition_text(a.draft, a.book, edition);
    if (other == nullptr) {
        a.diagnostics
            .error("unknown-name", a.change.edition.span,
                   "`" + edition + "` is no edition known here")
            .help = some_of("the library", shipped_editions());
        return;
    }
    std::vector<const DraftRule *> taken;
    for (const DraftRule &rule : other->rules) {
        if (is_meant(rule, a.change.target))
            taken.push_back(&rule);
    }
    if (taken.empty()) {
        a.diagnostics.error("no-target", a.change.target.citation.span,
                            edition + " has no rule " + a.change.target.citation.text);
        return;
    }
    for (DraftRule &rule : a.draft.rules) {
        if (!is_meant(rule, a.change.target))
            continue;
        rule.deleted = true;
        rule.deleted_span = a.head;
        a.tell(name_of(rule), text_of(rule, a.book.sources), "");
    }
    const std::size_t own = a.draft.rules.size();
    Taking taking(a, *other);
    for (const DraftRule *rule : taken)
        taking.rule(*rule);
    // What neither book has needs no displacing.
    for (std::size_t i = own; i < a.draft.rules.size(); ++i)
        std::erase_if(a.draft.rules[i].decl.displaces,
                      [&](const ast::Name &n) { return !stands(a.draft, n.text); });
}

} // namespace groundrule::book
