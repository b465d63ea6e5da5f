// One requirement in two books: what differs, clause line by clause line.
#include "book/compare_steps.h"
#include "book/expression_text.h"

#include <algorithm>
#include <utility>

namespace groundrule::book {

namespace {

std::string joined(const std::vector<std::string> &words) {
    std::string out;
    for (const std::string &w : words)
        out += (out.empty() ? "" : ", ") + w;
    return out;
}

std::string work_text(const Rule &rule) {
    std::vector<std::string> words;
    for (std::size_t i = 0; i < rule.binds.size(); ++i) {
        if (rule.binds[i] != 0)
            words.emplace_back(work_names[i]);
    }
    return joined(words);
}

const char *force_text(ast::Force force) {
    static constexpr const char *names[] = {"shall", "should", "information", "caution"};
    return names[static_cast<std::size_t>(force)];
}

// Where more holding is laxer: exceptions, permissions, what is required.
Effect reversed(Effect effect) {
    return effect == Effect::stricter ? Effect::laxer
           : effect == Effect::laxer  ? Effect::stricter
                                      : effect;
}

// A part as a reader calls it: "(5)", "Exception No. 1", or by its title.
std::string part_name(const Part &part) {
    if (!part.displaced_by.empty())
        return "where " + part.displaced_by + " applies";
    if (part.kind == ast::Part::Kind::exception && !part.label.empty())
        return "Exception No. " + part.label;
    if (part.kind == ast::Part::Kind::exception)
        return "Exception";
    return part.label;
}

Aspect aspect_of(const Limit &limit) {
    return limit.reading ? Aspect::reading : Aspect::limit;
}

Aspect aspect_of(ast::Part::Kind kind) {
    switch (kind) {
    case ast::Part::Kind::listed:
        return Aspect::listed;
    case ast::Part::Kind::exception:
        return Aspect::exception;
    case ast::Part::Kind::path:
        return Aspect::path;
    case ast::Part::Kind::permit:
        break;
    }
    return Aspect::permission;
}

class RuleComparer {
  public:
    RuleComparer(const Book &before, const Rule &older, const Book &after, const Rule &newer,
                 Entailment &entailment)
        : before_(before), after_(after), older_(older), newer_(newer), entailment_(entailment),
          counts_(older.force == ast::Force::shall && newer.force == ast::Force::shall) {}

    std::vector<Change> changes() {
        head();
        limits();
        conditions();
        requirement();
        parts(older_.listed, newer_.listed);
        parts(older_.paths, newer_.paths);
        parts(older_.permits, newer_.permits);
        parts(older_.exceptions, newer_.exceptions);
        wording();
        return std::move(changes_);
    }

  private:
    std::string older_text(NodeId node, Called called = Called::by_edition) const {
        return expression_text(before_, node, {older_.item, &older_, nullptr}, called);
    }
    std::string newer_text(NodeId node, Called called = Called::by_edition) const {
        return expression_text(after_, node, {newer_.item, &newer_, nullptr}, called);
    }
    bool same(NodeId older, NodeId newer) const {
        return older_text(older, Called::by_declaration) ==
               newer_text(newer, Called::by_declaration);
    }
    std::string layer(std::int32_t index) const {
        return after_.layers[static_cast<std::size_t>(index)].name;
    }

    Change &add(Aspect aspect, std::string name, std::string from, std::string to,
                Effect effect = Effect::open) {
        if (!counts_ && aspect != Aspect::force)
            effect = Effect::none; // told, never counted
        changes_.push_back({aspect, std::move(name), std::move(from), std::move(to), effect, {}});
        return changes_.back();
    }

    void differing(Aspect aspect, const std::string &from, const std::string &to,
                   Effect effect = Effect::open) {
        if (from != to)
            add(aspect, "", from, to, effect).layer = layer(newer_.layer);
    }

    void head() {
        const bool counted = older_.force == ast::Force::shall;
        differing(Aspect::force, force_text(older_.force), force_text(newer_.force),
                  counted        ? Effect::laxer
                  : counts_now() ? Effect::stricter
                                 : Effect::none);
        differing(Aspect::item, before_.items[static_cast<std::size_t>(older_.item)].name,
                  after_.items[static_cast<std::size_t>(newer_.item)].name);
        differing(Aspect::stages, joined(older_.stages), joined(newer_.stages), Effect::none);
        differing(Aspect::work, work_text(older_), work_text(newer_), work_effect());
    }
    bool counts_now() const { return newer_.force == ast::Force::shall; }

    Effect work_effect() const {
        bool more = true;
        bool less = true;
        for (std::size_t i = 0; i < older_.binds.size(); ++i) {
            more = more && newer_.binds[i] >= older_.binds[i];
            less = less && newer_.binds[i] <= older_.binds[i];
        }
        return more ? Effect::stricter : less ? Effect::laxer : Effect::open;
    }

    // --- limits and readings, by name

    void limits() {
        for (std::size_t i = 0; i < older_.limits.size(); ++i) {
            const Limit &o = older_.limits[i];
            const auto there = std::find_if(newer_.limits.begin(), newer_.limits.end(),
                                            [&](const Limit &n) { return n.name == o.name; });
            const std::string from = value_text(before_, o.type, o.value);
            if (there == newer_.limits.end()) {
                add(aspect_of(o), o.name, from, "");
                continue;
            }
            const std::string to = value_text(after_, there->type, there->value);
            if (from == to) // a text tells its type, too
                continue;
            const auto place = static_cast<std::size_t>(there - newer_.limits.begin());
            add(aspect_of(*there), o.name, from, to,
                entailment_.effect_of_limit(older_, i, newer_, place))
                .layer = layer(there->layer);
        }
        for (const Limit &n : newer_.limits) {
            if (std::none_of(older_.limits.begin(), older_.limits.end(),
                             [&](const Limit &o) { return o.name == n.name; }))
                add(aspect_of(n), n.name, "", value_text(after_, n.type, n.value)).layer =
                    layer(n.layer);
        }
    }

    // --- conditions: those that are the same first, then by name, then in their order

    void conditions() {
        std::vector<const Condition *> old_left;
        std::vector<bool> matched(newer_.conditions.size(), false);
        const auto take = [&](auto fits) -> const Condition * {
            for (std::size_t i = 0; i < matched.size(); ++i) {
                if (!matched[i] && fits(newer_.conditions[i])) {
                    matched[i] = true;
                    return &newer_.conditions[i];
                }
            }
            return nullptr;
        };
        for (const Condition &o : older_.conditions) {
            if (take([&](const Condition &n) { return same(o.node, n.node); }) == nullptr)
                old_left.push_back(&o);
        }
        for (const Condition *&o : old_left) {
            if (o->name.empty())
                continue;
            const Condition *n = take([&](const Condition &c) { return c.name == o->name; });
            if (n != nullptr)
                condition_changed(*std::exchange(o, nullptr), *n);
        }
        for (const Condition *o : old_left) {
            if (o == nullptr)
                continue;
            const Condition *n =
                o->name.empty() ? take([](const Condition &c) { return c.name.empty(); }) : nullptr;
            if (n != nullptr)
                condition_changed(*o, *n);
            else
                add(Aspect::condition, o->name, older_text(o->node), "", Effect::stricter);
        }
        for (std::size_t i = 0; i < matched.size(); ++i) {
            const Condition &n = newer_.conditions[i];
            if (!matched[i])
                add(Aspect::condition, n.name, "", newer_text(n.node), Effect::laxer).layer =
                    layer(n.layer);
        }
    }

    void condition_changed(const Condition &o, const Condition &n) {
        add(Aspect::condition, n.name, older_text(o.node), newer_text(n.node),
            entailment_.effect(o.node, n.node))
            .layer = layer(n.layer);
    }

    void requirement() {
        const NodeId o = older_.requirement;
        const NodeId n = newer_.requirement;
        if (o == no_node && n == no_node)
            return;
        if (o == no_node || n == no_node)
            add(Aspect::requirement, "", older_text(o), newer_text(n),
                o == no_node ? Effect::stricter : Effect::laxer)
                .layer = n == no_node ? "" : layer(newer_.layer);
        else if (!same(o, n))
            add(Aspect::requirement, "", older_text(o), newer_text(n),
                reversed(entailment_.effect(o, n)))
                .layer = layer(newer_.layer);
    }

    // --- listed parts, exceptions, paths, permissions

    // What is not encoded is joined to its condition, if it has one; the title tells it.
    static NodeId condition_of(const Book &book, const Part &p) {
        if (p.encoded)
            return p.node;
        const Node &n = book.nodes[p.node];
        return n.op == NodeOp::not_encoded ? no_node : n.children[0];
    }

    // Of what is not encoded only the title says what it is.
    bool same_part(const Part &o, const Part &n) const {
        return o.encoded == n.encoded && (o.encoded || o.title == n.title) &&
               same(condition_of(before_, o), condition_of(after_, n));
    }

    static std::string part_text(const Part &p, const std::string &condition) {
        const std::string title = p.title + (p.encoded ? "" : " (not encoded)");
        return title + (title.empty() || condition.empty() ? "" : ": ") + condition;
    }
    std::string older_part(const Part &p) const {
        return part_text(p, older_text(condition_of(before_, p)));
    }
    std::string newer_part(const Part &p) const {
        return part_text(p, newer_text(condition_of(after_, p)));
    }

    void parts(const std::vector<Part> &older, const std::vector<Part> &newer) {
        std::vector<const Part *> match(older.size(), nullptr); // of each old part
        std::vector<bool> taken(newer.size(), false);
        const auto pair_up = [&](auto fits) {
            for (std::size_t i = 0; i < older.size(); ++i) {
                for (std::size_t k = 0; k < newer.size() && match[i] == nullptr; ++k) {
                    if (!taken[k] && fits(older[i], newer[k])) {
                        match[i] = &newer[k];
                        taken[k] = true;
                    }
                }
            }
        };
        const auto alike = [&](const Part &o, const Part &n) { return same_part(o, n); };
        pair_up([&](const Part &o, const Part &n) { return o.label == n.label && alike(o, n); });
        pair_up(alike);
        pair_up(
            [](const Part &o, const Part &n) { return !o.title.empty() && o.title == n.title; });
        pair_up(
            [](const Part &o, const Part &n) { return !o.label.empty() && o.label == n.label; });
        for (std::size_t i = 0; i < older.size(); ++i) {
            if (match[i] == nullptr)
                part_removed(older[i], newer.empty());
            else
                part_changed(older[i], *match[i]);
        }
        for (std::size_t k = 0; k < newer.size(); ++k) {
            if (!taken[k])
                part_added(newer[k], older.empty());
        }
    }

    // One more place in a list binds more, but the first list less than none. One more exception,
    // path or permission binds less, but the first path or permission more than none.
    static Effect of_addition(ast::Part::Kind kind, bool first) {
        if (kind == ast::Part::Kind::exception)
            return Effect::laxer;
        return (kind == ast::Part::Kind::listed) != first ? Effect::stricter : Effect::laxer;
    }

    void part_added(const Part &n, bool first) {
        add(aspect_of(n.kind), part_name(n), "", newer_part(n), of_addition(n.kind, first)).layer =
            layer(n.layer);
    }
    void part_removed(const Part &o, bool last) {
        add(aspect_of(o.kind), part_name(o), older_part(o), "",
            reversed(of_addition(o.kind, last)));
    }

    void part_changed(const Part &o, const Part &n) {
        const bool other = !same_part(o, n);
        const std::string old_name = part_name(o);
        const std::string new_name = part_name(n);
        if (other) {
            const Effect effect = entailment_.effect(o.node, n.node);
            const bool listed = o.kind == ast::Part::Kind::listed;
            add(aspect_of(n.kind), moved(old_name, new_name), older_part(o), newer_part(n),
                listed ? effect : reversed(effect))
                .layer = layer(n.layer);
        } else if (old_name != new_name) {
            add(aspect_of(n.kind), moved(old_name, new_name), o.title, n.title, Effect::none)
                .layer = layer(n.layer);
        } else if (o.title != n.title) {
            wording_of(Aspect::title, new_name, o.title, n.title, n.layer);
        }
        wording_of(Aspect::message, new_name,
                   message_text(before_, o.says, {older_.item, &older_, nullptr}),
                   message_text(after_, n.says, {newer_.item, &newer_, nullptr}), n.layer);
    }
    static std::string moved(const std::string &from, const std::string &to) {
        return from == to ? to : from + ", now " + to;
    }

    // --- wording

    void wording_of(Aspect aspect, const std::string &name, const std::string &from,
                    const std::string &to, std::int32_t of) {
        if (from != to)
            add(aspect, name, from, to, Effect::none).layer = to.empty() ? "" : layer(of);
    }

    void wording() {
        wording_of(Aspect::message, "",
                   message_text(before_, older_.says, {older_.item, &older_, nullptr}),
                   message_text(after_, newer_.says, {newer_.item, &newer_, nullptr}),
                   newer_.layer);
        wording_of(Aspect::title, "", older_.title, newer_.title, newer_.layer);
        for (const std::string &note : older_.notes) {
            if (std::find(newer_.notes.begin(), newer_.notes.end(), note) == newer_.notes.end())
                wording_of(Aspect::note, "", note, "", older_.layer);
        }
        for (const std::string &note : newer_.notes) {
            if (std::find(older_.notes.begin(), older_.notes.end(), note) == older_.notes.end())
                wording_of(Aspect::note, "", "", note, newer_.layer);
        }
    }

    const Book &before_;
    const Book &after_;
    const Rule &older_;
    const Rule &newer_;
    Entailment &entailment_;
    bool counts_;
    std::vector<Change> changes_;
};

} // namespace

std::vector<Change> rule_changes(const Book &before, const Rule &older, const Book &after,
                                 const Rule &newer, Entailment &entailment) {
    return RuleComparer(before, older, after, newer, entailment).changes();
}

} // namespace groundrule::book
