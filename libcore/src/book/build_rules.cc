// Rules: their names first, so that each may refer to any other, then their expressions.
#include "book/build.h"
#include "book/clauses.h"
#include "book/typer_words.h"

#include <algorithm>
#include <array>
#include <string_view>

namespace groundrule::book {

namespace {

constexpr std::array<std::string_view, 4> stages = {"design", "rough_in", "trim_out", "acceptance"};

std::vector<std::string> topics_of(const Draft &draft) {
    std::vector<std::string> out;
    for (const DraftRule &r : draft.rules) {
        if (!r.decl.clause)
            out.push_back(r.decl.topic.text);
    }
    return out;
}

// Rules that stand within a clause, with what they take over from it. The draft stays as written.
std::deque<DraftRule> resolved(const Draft &draft, Typer &typer) {
    std::deque<DraftRule> out;
    for (const DraftRule &rule : draft.rules) {
        const std::string &within = rule.decl.within.text;
        if (rule.decl.clause && !rule.deleted)
            check_clause(rule, typer.diagnostics());
        if (within.empty() || rule.deleted || rule.decl.clause)
            continue;
        out.push_back(rule);
        if (take_clause_of(out.back(), draft, *draft.made, typer.diagnostics()) ||
            draft.broken.has(within))
            continue;
        typer.diagnostics().error("unknown-name", rule.decl.within.span,
                                  "there is no clause with the topic `" + within + "`");
    }
    return out;
}

bool constant_limit(const DraftLimit &draft, Limit &limit, Typer &typer) {
    const ast::Expr &e = draft.file->exprs[draft.limit.value];
    limit.span = e.span;
    if (e.kind == ast::ExprKind::literal) {
        limit.type.kind = e.literal.kind;
        limit.type.dimension = e.literal.dimension;
        limit.value = e.literal.value;
    } else if (e.kind == ast::ExprKind::truth) {
        limit.type = truth_type();
        limit.value = e.flag ? 1 : 0;
    } else {
        typer.diagnostics().error("not-constant", e.span,
                                  "a limit is a value, such as 250 V; a reading is yes or no");
        return false;
    }
    if (limit.reading && !limit.type.is_truth()) {
        typer.diagnostics().error("wrong-type", e.span, "a reading is yes or no");
        limit.type = truth_type(); // as those who use it take it
    }
    return true;
}

void shell(const DraftRule &draft, Typer &typer) {
    Book &book = typer.book();
    Diagnostics &diagnostics = typer.diagnostics();
    Rule rule;
    rule.citation = draft.decl.citation.text;
    rule.title = draft.decl.title;
    rule.topic = draft.decl.topic.text;
    rule.force = draft.decl.force.value_or(ast::Force::shall);
    rule.layer = draft.layer;
    rule.span = draft.span;
    rule.item = find_item(book, draft.decl.item.text);
    if (rule.topic.empty())
        diagnostics.error("no-topic", draft.decl.citation.span,
                          "a rule needs a `topic`, the name that follows it through the editions");
    if (rule.item < 0 && draft.decl.item.text.empty()) {
        if (draft.decl.within.text.empty()) // else it may be that of the clause, which is not there
            diagnostics.error("no-item", draft.decl.citation.span,
                              "a rule needs `for` and the item that it binds");
    } else if (rule.item < 0 && !typer.broken().has(draft.decl.item.text)) {
        std::vector<std::string> known;
        for (const Item &i : book.items)
            known.push_back(i.name);
        const std::string near = nearest(draft.decl.item.text, known);
        Diagnostic &d = diagnostics.error("unknown-name", draft.decl.item.span,
                                          "`" + draft.decl.item.text + "` is no item");
        d.help = near.empty() ? "" : "did you mean `" + near + "`?";
    }
    for (const ast::Name &stage : draft.decl.stages) {
        if (std::find(stages.begin(), stages.end(), stage.text) == stages.end())
            diagnostics.error("unknown-name", stage.span, "`" + stage.text + "` is no stage").help =
                "stages: design, rough_in, trim_out, acceptance";
        rule.stages.push_back(stage.text);
    }
    if (rule.stages.empty())
        rule.stages = {"design"};
    rule.binds = {1, 1, 0, 0};
    if (!draft.decl.binds.empty()) {
        rule.binds = {0, 0, 0, 0};
        for (const ast::Name &work : draft.decl.binds) {
            const auto value = typer.choice_value({ValueKind::choice, {}, 0}, work);
            if (value)
                rule.binds[static_cast<std::size_t>(*value)] = 1;
        }
    }
    for (const DraftLimit &l : draft.limits) {
        Limit limit;
        limit.name = l.limit.name.text;
        limit.reading = l.limit.reading;
        limit.text = l.limit.text;
        limit.layer = l.layer;
        for (const DraftLimit *other = draft.limits.data(); other != &l; ++other) {
            if (other->limit.name.text != l.limit.name.text)
                continue;
            Diagnostic &d = diagnostics.error("declared-twice", l.limit.name.span,
                                              "this rule has a limit or reading `" +
                                                  l.limit.name.text + "` already");
            d.other = other->limit.name.span;
            d.other_is = "here";
        }
        if (constant_limit(l, limit, typer))
            rule.limits.push_back(std::move(limit));
        else
            typer.broken().add_name(l.limit.name.text);
    }
    for (const ast::Message &m : draft.decl.notes)
        rule.notes.push_back(m.text);
    for (const ast::Message &m : draft.decl.sources)
        rule.sources.push_back(m.text);
    book.rules.push_back(std::move(rule));
}

// Topic of the displaced rule, and the rule that displaces it.
using Displacing = std::vector<std::pair<std::string, std::size_t>>;

class RuleFiller {
  public:
    RuleFiller(const DraftRule &draft, std::size_t index, const Displacing &displacing,
               Typer &typer)
        : draft_(draft), index_(index), displacing_(displacing), typer_(typer) {}

    void fill() {
        Rule rule = typer_.book().rules[index_];
        for (const DraftCondition &c : draft_.conditions) {
            const NodeId node = typer_.type_as(c.written.expr, scope(c.written.file, rule),
                                               truth_type(), "a condition");
            rule.conditions.push_back({c.name.text, node, c.written.layer});
        }
        for (const DraftPart &p : draft_.parts)
            add_part(p, rule);
        rule.requirement_layer = std::max(draft_.requirement.layer, draft_.layer);
        if (draft_.requirement.expr != ast::no_expr)
            rule.requirement =
                typer_.type_as(draft_.requirement.expr, scope(draft_.requirement.file, rule),
                               truth_type(), "the requirement");
        add_displacements(rule);
        rule.says = message(draft_.decl.says, draft_.file, rule);
        check(rule);
        typer_.book().rules[index_] = std::move(rule);
    }

  private:
    Scope scope(const ast::File *file, const Rule &rule) const {
        Scope s;
        s.file = file;
        s.self = rule.item;
        s.space = rule.item;
        s.limits = &rule.limits;
        return s;
    }

    std::vector<MessagePart> message(const ast::Says &says, const ast::File *file,
                                     const Rule &rule) {
        std::vector<MessagePart> parts;
        for (const ast::MessagePiece &piece : says.pieces) {
            MessagePart part;
            part.text = piece.text;
            if (piece.value != ast::no_expr)
                part.value = typer_.type(piece.value, scope(file, rule));
            parts.push_back(std::move(part));
        }
        return parts;
    }

    // A more specific rule that names this one in `displaces` is an exception to it.
    void add_displacements(Rule &rule) {
        for (const auto &[topic, index] : displacing_) {
            if (topic != rule.topic)
                continue;
            const Rule &other = typer_.book().rules[index];
            if (!is_above_or_same(typer_.book(), other.item, rule.item)) {
                typer_.diagnostics().error(
                    "not-above", other.span,
                    "a rule for " + typer_.book().items[static_cast<std::size_t>(other.item)].name +
                        " can't displace one for an item above it");
                continue;
            }
            Node applies;
            applies.op = NodeOp::applies;
            applies.type = truth_type();
            applies.item = other.item;
            applies.index = static_cast<std::int32_t>(index);
            applies.span = other.span;
            Part part;
            part.kind = ast::Part::Kind::exception;
            part.title = other.title;
            part.displaced_by = other.citation;
            part.layer = other.layer;
            part.span = other.span;
            part.node = typer_.add(std::move(applies));
            rule.exceptions.push_back(std::move(part));
        }
    }

    void add_part(const DraftPart &draft, Rule &rule) {
        Part part;
        part.kind = draft.part.kind;
        part.label = draft.part.label;
        part.title = draft.part.title;
        part.encoded = draft.part.encoded;
        part.layer = draft.layer;
        part.span = draft.part.span;
        part.says = message(draft.part.says, draft.says_file, rule);
        if (draft.part.where != ast::no_expr)
            part.node = typer_.type_as(draft.part.where, scope(draft.file, rule), truth_type(),
                                       "the condition of a part");
        else if (part.encoded)
            typer_.diagnostics().error(
                "no-condition", draft.part.span,
                "this part needs `where` and its condition, or `not encoded`");
        if (!part.encoded)
            part.node = and_not_encoded(part);
        std::vector<Part> &list = part.kind == ast::Part::Kind::listed      ? rule.listed
                                  : part.kind == ast::Part::Kind::exception ? rule.exceptions
                                  : part.kind == ast::Part::Kind::path      ? rule.paths
                                                                            : rule.permits;
        refuse_twice(draft.part);
        list.push_back(std::move(part));
    }

    void refuse_twice(const ast::Part &part) {
        const auto before =
            std::find_if(draft_.parts.begin(), draft_.parts.end(), [&](const DraftPart &p) {
                return p.part.kind == part.kind && p.part.label == part.label &&
                       (!part.label.empty() || p.part.title == part.title);
            });
        if (before->part.span.file == part.span.file && before->part.span.begin == part.span.begin)
            return;
        static constexpr const char *kinds[] = {"listed part", "exception", "path", "permission"};
        const char *kind = kinds[static_cast<std::size_t>(part.kind)];
        Diagnostic &d = typer_.diagnostics().error(
            "label-twice", part.span,
            part.label.empty()
                ? "this rule has this " + std::string(kind) + " without a number already"
                : "this rule has the " + std::string(kind) + " " + part.label + " already");
        d.other = before->part.span;
        d.other_is = "here";
    }

    NodeId and_not_encoded(const Part &part) {
        Node gap;
        gap.op = NodeOp::not_encoded;
        gap.type = truth_type();
        gap.text = part.title;
        const NodeId unknown = typer_.add(std::move(gap));
        if (part.node == no_node)
            return unknown;
        Node both;
        both.op = NodeOp::logical_and;
        both.type = truth_type();
        both.children = {part.node, unknown};
        return typer_.add(std::move(both));
    }

    void check(const Rule &rule) {
        const bool requires_something =
            rule.requirement != no_node || !rule.paths.empty() || !rule.permits.empty();
        const bool advisory =
            rule.force == ast::Force::caution || rule.force == ast::Force::information;
        if (!requires_something && !advisory && draft_.requirement.expr == ast::no_expr)
            typer_.diagnostics().error(
                "no-requirement", draft_.decl.citation.span,
                "this rule requires nothing: it needs `shall`, `path` or `permits`");
        if (rule.force == ast::Force::caution && requires_something)
            typer_.diagnostics().error("no-requirement", draft_.decl.force_span,
                                       "a caution has no requirement; it has `where` and `says`");
        if (rule.says.empty())
            tell_no_message();
    }

    void tell_no_message() {
        Diagnostic &d =
            typer_.diagnostics().error("no-message", draft_.decl.citation.span,
                                       "this rule needs `says`, the message of a violation");
        for (const DraftPart &p : draft_.parts) {
            if (p.part.says.pieces.empty() || d.other.file != Span::no_file)
                continue;
            d.help = "a `says` below a part is that part's own; the rule's stands above its parts";
            d.other = p.part.span;
            d.other_is = "this part has one";
        }
    }

    const DraftRule &draft_;
    std::size_t index_;
    const Displacing &displacing_;
    Typer &typer_;
};

} // namespace

void build_rules(const Draft &draft, Typer &typer) {
    for (const DraftGap &g : draft.gaps)
        (g.administrative ? typer.book().administrative : typer.book().gaps).push_back(g.gap);
    for (std::vector<Gap> *gaps : {&typer.book().gaps, &typer.book().administrative})
        std::stable_sort(gaps->begin(), gaps->end(), [](const Gap &a, const Gap &b) {
            return citation_less(a.citation, b.citation);
        });
    const std::deque<DraftRule> within = resolved(draft, typer);
    std::vector<const DraftRule *> live;
    auto next = within.begin();
    for (const DraftRule &r : draft.rules) {
        if (r.deleted || r.decl.clause)
            continue;
        live.push_back(r.decl.within.text.empty() ? &r : &*next++);
    }
    std::stable_sort(live.begin(), live.end(), [](const DraftRule *a, const DraftRule *b) {
        return citation_less(a->decl.citation.text, b->decl.citation.text);
    });
    for (const DraftRule *r : live)
        shell(*r, typer);
    Displacing displacing;
    for (std::size_t i = 0; i < live.size(); ++i) {
        for (const ast::Name &topic : live[i]->decl.displaces) {
            // What a layer deleted needs no displacing.
            const std::vector<std::string> topics = topics_of(draft);
            const bool known = std::count(topics.begin(), topics.end(), topic.text) != 0;
            if (!known && !typer.broken().has(topic.text))
                typer.diagnostics()
                    .error("unknown-name", topic.span, "no rule has the topic `" + topic.text + "`")
                    .help = did_you_mean(nearest(topic.text, topics));
            // A rule for an unknown item was told already; it displaces nothing.
            if (typer.book().rules[i].item >= 0)
                displacing.emplace_back(topic.text, i);
        }
    }
    for (std::size_t i = 0; i < live.size(); ++i) {
        if (typer.book().rules[i].item >= 0)
            RuleFiller(*live[i], i, displacing, typer).fill();
    }
}

} // namespace groundrule::book
