// Text of another edition in place of what stands: its rules, and what they rest on. What both
// editions tell alike is shared; what the other one tells otherwise comes along under a name of its
// own, so that the rules which stay go on reading theirs.
#include "book/amend_steps.h"
#include "book/clauses.h"
#include "book/draft_text.h"
#include "book/layers.h"
#include "book/made_expressions.h"
#include "book/open.h"
#include "book/typer_words.h"
#include "syntax/print.h"

#include <algorithm>
#include <set>

namespace groundrule::book {

namespace {

using ast::Expr;
using ast::ExprId;
using ast::ExprKind;

enum class Thing : std::uint8_t { definition, table, list, group };
using Named = std::pair<Thing, std::string>;

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

class Taking {
  public:
    Taking(const Applying &a, const Draft &other) : a_(a), other_(other) {}

    void rule(const DraftRule &from) {
        DraftRule taken = from;
        if (!taken.decl.within.text.empty())
            (void)take_clause_of(taken, other_, *a_.draft.made, a_.diagnostics);
        taken.decl.within = {};
        std::set<std::string> own;
        for (const DraftLimit &l : taken.limits)
            own.insert(l.limit.name.text);
        visit(taken, [&](const ast::File &file, ExprId id) { bring(file, id, own); });
        const Renames renames = renames_without(own);
        rewrite(taken, renames);
        taken.layer = a_.layer;
        taken.span = a_.head;
        std::erase_if(taken.decl.displaces, [&](const ast::Name &n) { return !stands(n.text); });
        add_rule_taken(std::move(taken));
    }

  private:
    bool stands(const std::string &topic) const {
        return std::any_of(a_.draft.rules.begin(), a_.draft.rules.end(), [&](const DraftRule &r) {
            return !r.deleted && r.decl.topic.text == topic;
        });
    }

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

    template <typename Visit>
    static void visit(const DraftRule &r, Visit visit) {
        visit(*r.requirement.file, r.requirement.expr);
        for (const DraftCondition &c : r.conditions)
            visit(*c.written.file, c.written.expr);
        for (const DraftPart &p : r.parts) {
            visit(*p.file, p.part.where);
            for (const ast::MessagePiece &piece : p.part.says.pieces)
                visit(*p.says_file, piece.value);
        }
        for (const ast::MessagePiece &piece : r.decl.says.pieces)
            visit(*r.file, piece.value);
    }

    void rewrite(DraftRule &r, const Renames &renames) const {
        ast::File &made = *a_.draft.made;
        const auto anew = [&](const ast::File &file, ExprId &id) {
            id = copied(file, id, made, &renames);
        };
        anew(*r.requirement.file, r.requirement.expr);
        r.requirement = {&made, r.requirement.expr, a_.layer};
        for (DraftCondition &c : r.conditions) {
            anew(*c.written.file, c.written.expr);
            c.written = {&made, c.written.expr, a_.layer};
        }
        for (DraftPart &p : r.parts) {
            anew(*p.file, p.part.where);
            for (ast::MessagePiece &piece : p.part.says.pieces)
                anew(*p.says_file, piece.value);
            p.file = p.says_file = &made;
            p.layer = a_.layer;
        }
        for (ast::MessagePiece &piece : r.decl.says.pieces)
            anew(*r.file, piece.value);
        for (DraftLimit &l : r.limits)
            l.layer = a_.layer;
        r.file = &made;
    }

    // --- what an expression rests on

    static void names_in(const ast::File &file, ExprId id, // NOLINT(misc-no-recursion)
                         std::vector<Named> &out) {
        if (id == ast::no_expr)
            return;
        const Expr &e = file.exprs[id];
        if (e.kind == ExprKind::name || e.kind == ExprKind::call)
            out.emplace_back(Thing::definition, e.text);
        if (e.kind == ExprKind::lookup)
            out.emplace_back(Thing::table, e.citation.text);
        if (e.kind == ExprKind::search)
            out.emplace_back(Thing::list, e.citation.text);
        for (const ast::Name &choice : e.choices)
            out.emplace_back(Thing::group, choice.text);
        for (const ExprId child : e.children)
            names_in(file, child, out);
        names_in(file, e.where, out);
        names_in(file, e.body, out);
    }

    template <typename T>
    static std::vector<const T *> all(const std::vector<T> &list, const std::string &name) {
        std::vector<const T *> out;
        for (const T &t : list) {
            if (called(t) == name)
                out.push_back(&t);
        }
        return out;
    }
    static const std::string &called(const DraftDefine &d) { return d.decl.name.text; }
    static const std::string &called(const DraftTable &t) { return t.declared; }
    static const std::string &called(const DraftList &l) { return l.declared; }
    static const std::string &called(const DraftGroup &g) { return g.decl.name.text; }

    std::string text(const Draft &draft, const Named &named) const {
        const Sources &sources = a_.book.sources;
        std::string out;
        switch (named.first) {
        case Thing::definition:
            for (const DraftDefine *d : all(draft.defines, named.second))
                out += text_of(*d, sources) + "\n";
            break;
        case Thing::table:
            for (const DraftTable *t : all(draft.tables, named.second))
                out += figure_text(*t, sources);
            break;
        case Thing::list:
            for (const DraftList *l : all(draft.lists, named.second))
                out += figure_text(*l, sources);
            break;
        case Thing::group:
            for (const DraftGroup *g : all(draft.groups, named.second))
                out += text_of(*g);
            break;
        }
        return out;
    }

    std::vector<Named> below(const Named &named) const {
        std::vector<Named> out;
        if (named.first == Thing::definition) {
            for (const DraftDefine *d : all(other_.defines, named.second)) {
                std::vector<Named> names;
                names_in(*d->file, d->decl.value, names);
                for (Named &n : names) {
                    const bool parameter = std::any_of(
                        d->decl.parameters.begin(), d->decl.parameters.end(),
                        [&](const ast::Parameter &p) { return p.name.text == n.second; });
                    if (!parameter)
                        out.push_back(std::move(n));
                }
            }
        }
        return out;
    }

    // Whether the other edition tells it otherwise, itself or by what it rests on.
    bool differs(const Named &named) { // NOLINT(misc-no-recursion)
        const auto known = differs_.find(named);
        if (known != differs_.end())
            return known->second;
        differs_[named] = false; // of a circle, told elsewhere
        const std::string theirs = text(other_, named);
        const std::string ours = text(a_.draft, named);
        bool out = !theirs.empty() && !ours.empty() && theirs != ours;
        for (const Named &n : below(named))
            out = differs(n) || out;
        return differs_[named] = out;
    }

    void bring(const ast::File &file, ExprId id, const std::set<std::string> &own) {
        std::vector<Named> names;
        names_in(file, id, names);
        for (const Named &n : names) {
            if (n.first != Thing::definition || !own.contains(n.second))
                bring(n);
        }
    }

    void bring(const Named &named) { // NOLINT(misc-no-recursion)
        if (!brought_.insert(named).second || text(other_, named).empty())
            return;
        for (const Named &n : below(named))
            bring(n);
        const bool other = differs(named);
        const bool missing = text(a_.draft, named).empty();
        if (!other && !missing)
            return;
        const std::string name = other && !missing ? own_name(named) : named.second;
        if (other && !missing)
            renamed(named.first)[named.second] = name;
        copy(named, name);
    }

    std::string own_name(const Named &named) const {
        std::string edition = a_.change.edition.text;
        if (named.first == Thing::table || named.first == Thing::list)
            return named.second + " of " + edition;
        std::replace(edition.begin(), edition.end(), '-', '_');
        return named.second + "_of_" + edition;
    }

    std::map<std::string, std::string> &renamed(Thing thing) {
        return thing == Thing::definition ? renames_.definitions
               : thing == Thing::table    ? renames_.tables
               : thing == Thing::list     ? renames_.lists
                                          : renames_.groups;
    }

    template <typename T>
    void copy_figures(const std::vector<T> &from, std::vector<T> &to, const Named &named,
                      const std::string &name) const {
        for (const T *t : all(from, named.second)) {
            const bool there = !all(to, name).empty();
            if (there)
                continue; // taken before
            T taken = *t;
            if (name != named.second)
                taken.decl.citation = {name, t->decl.citation.span, true};
            taken.declared = name;
            taken.layer = a_.layer;
            to.push_back(std::move(taken));
        }
    }

    void copy(const Named &named, const std::string &name) {
        switch (named.first) {
        case Thing::definition:
            if (!all(a_.draft.defines, name).empty())
                return;
            for (const DraftDefine *d : all(other_.defines, named.second)) {
                DraftDefine taken = *d;
                taken.decl.name.text = name;
                Renames renames = renames_;
                for (const ast::Parameter &p : d->decl.parameters)
                    renames.definitions.erase(p.name.text);
                taken.decl.value = copied(*d->file, d->decl.value, *a_.draft.made, &renames);
                taken.file = a_.draft.made.get();
                taken.layer = a_.layer;
                a_.draft.defines.push_back(std::move(taken));
            }
            break;
        case Thing::table:
            copy_figures(other_.tables, a_.draft.tables, named, name);
            break;
        case Thing::list:
            copy_figures(other_.lists, a_.draft.lists, named, name);
            break;
        case Thing::group:
            for (const DraftGroup *g : all(other_.groups, named.second)) {
                DraftGroup taken = *g;
                taken.decl.name.text = name;
                taken.layer = a_.layer;
                if (all(a_.draft.groups, name).empty())
                    a_.draft.groups.push_back(std::move(taken));
            }
            break;
        }
    }

    Renames renames_without(const std::set<std::string> &own) const {
        Renames out = renames_;
        for (const std::string &name : own)
            out.definitions.erase(name);
        return out;
    }

    const Applying &a_;
    const Draft &other_;
    Renames renames_;
    std::set<Named> brought_;
    std::map<Named, bool> differs_;
};

bool is_meant(const DraftRule &rule, const ast::Target &target) {
    return !rule.deleted && !rule.decl.clause && lies_in(rule.decl.citation.text, target) &&
           (target.topic.text.empty() || rule.decl.topic.text == target.topic.text);
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
        rule.deleted_by = a.layer;
        a.tell(name_of(rule), text_of(rule, a.book.sources), "");
    }
    Taking taking(a, *other);
    for (const DraftRule *rule : taken)
        taking.rule(*rule);
}

} // namespace groundrule::book
