// Rules and clauses. Their lines may stand in any order; each line that may stand once is refused
// the second time.
#include "syntax/grammar.h"

namespace groundrule::syntax {

namespace {

using namespace ast;

// A condition's name is told from its expression by the colon.
struct ConditionName : x3::parser<ConditionName> {
    using attribute_type = Name;
    static constexpr bool has_attribute = true;

    template <typename It, typename Ctx, typename Target>
    bool parse(It &first, const It &last, const Ctx &context, x3::unused_type,
               Target &target) const {
        ParseState &s = state(context);
        const char *begin = skip_layout(first, last, Layout::free);
        const char *end = word_end(begin, last);
        const char *colon = skip_layout(end, last, Layout::free);
        const std::string_view word(begin, static_cast<std::size_t>(end - begin));
        if (word.empty() || !is_lower(word[0]) || is_reserved(word) || colon == last ||
            *colon != ':')
            return false;
        x3::traits::move_to(Name{std::string(word), s.span(begin, end)}, target);
        first = colon + 1;
        return true;
    }
};

// --- parts: listed, except, path, permits

// Faults of a part point at its first word and its number.
void span_to_here(auto &context) {
    x3::_val(context).span.end = state(context).offset(x3::_where(context).begin());
}
constexpr auto part_kind(Part::Kind kind) {
    return [kind](auto &context) {
        x3::_val(context).kind = kind;
        span_to_here(context);
    };
}
constexpr auto part_label = [](auto &context) {
    x3::_val(context).label = std::move(x3::_attr(context));
    span_to_here(context);
};
constexpr auto not_encoded = [](auto &context) { x3::_val(context).encoded = false; };
constexpr auto part_title = [](auto &context) {
    x3::_val(context).title = std::move(x3::_attr(context).text);
};
constexpr auto part_says = [](auto &context) {
    x3::_val(context).says.lines.push_back(std::move(x3::_attr(context)));
};
constexpr auto part_begin = [](auto &context) {
    const ParseState &s = state(context);
    x3::_val(context).span = {s.source, s.offset(x3::_attr(context)),
                              s.offset(x3::_attr(context)) + 1};
};

constexpr auto part_text_def = -(connective("in") >> editions[into(&Part::editions)]) >>
                               -(connective("not") >> connective("encoded")[not_encoded]) >>
                               -text[part_title] >> -(clause_word("where") >> !ConditionName{} >>
                                                      expression[into(&Part::where)]) >>
                               -(clause_word("says") >> +text[part_says]) >>
                               -mark[into(&Part::mark)];

constexpr auto take_text = [](auto &context) {
    Part &part = x3::_val(context);
    Part &text = x3::_attr(context);
    text.kind = part.kind;
    text.label = std::move(part.label);
    text.span = part.span;
    part = std::move(text);
};

constexpr auto part_def = position[part_begin] >>
                          (clause_word("listed")[part_kind(Part::Kind::listed)] |
                           clause_word("except")[part_kind(Part::Kind::exception)] |
                           clause_word("path")[part_kind(Part::Kind::path)] |
                           clause_word("permits")[part_kind(Part::Kind::permit)]) >>
                          -label[part_label] >> part_text[take_text];

// --- limit, reading, where

constexpr auto is_reading = [](auto &context) { x3::_val(context).reading = true; };
constexpr auto reading_text = [](auto &context) {
    x3::_val(context).text = std::move(x3::_attr(context).text);
};

constexpr auto limit_def =
    (clause_word("limit") >> -(connective("in") >> editions[into(&RuleLimit::editions)]) >>
     name[into(&RuleLimit::name)] >> arithmetic("=") >> sum[into(&RuleLimit::value)] >>
     -mark[into(&RuleLimit::mark)]) |
    (clause_word("reading")[is_reading] >>
     -(connective("in") >> editions[into(&RuleLimit::editions)]) >> name[into(&RuleLimit::name)] >>
     arithmetic("=") >> sum[into(&RuleLimit::value)] >> text[reading_text] >>
     -mark[into(&RuleLimit::mark)]);

constexpr auto condition_begin = [](auto &context) {
    const ParseState &s = state(context);
    x3::_val(context).span = {s.source, s.offset(x3::_attr(context)),
                              s.offset(x3::_attr(context)) + 5};
};
constexpr auto condition_def = position[condition_begin] >> clause_word("where") >>
                               -(connective("in") >> editions[into(&Condition::editions)]) >>
                               -ConditionName{}[into(&Condition::name)] >>
                               expression[into(&Condition::expr)] >> -mark[into(&Condition::mark)];

// --- the body

void twice(ParseState &s, std::string_view line, Span span, Span before) {
    s.faults.push_back({"given-twice",
                        "this rule has " + std::string(line) + " already",
                        span,
                        {},
                        before,
                        "here"});
}

constexpr auto once(Name RuleDecl::*member, std::string_view line) {
    return [member, line](auto &context) {
        Name &target = x3::_val(context).*member;
        if (!target.text.empty())
            twice(state(context), "`" + std::string(line) + "`", x3::_attr(context).span,
                  target.span);
        target = std::move(x3::_attr(context));
    };
}

template <typename Member>
constexpr auto list_once(std::vector<Member> RuleDecl::*member, std::string_view line) {
    return [member, line](auto &context) {
        std::vector<Member> &target = x3::_val(context).*member;
        std::vector<Member> &given = x3::_attr(context);
        if (!target.empty())
            twice(state(context), "`" + std::string(line) + "`", given.front().span,
                  target.front().span);
        target = std::move(given);
    };
}

constexpr auto force(Force f, std::string_view word) {
    return [f, word](auto &context) {
        RuleDecl &r = x3::_val(context);
        const Span span = span_of_word(context, word);
        if (r.force)
            twice(state(context), "a `shall`, `should`, `information` or `caution`", span,
                  r.force_span);
        r.force = f;
        r.force_span = span;
    };
}
constexpr auto requirement = [](auto &context) {
    const ParseState &s = state(context);
    x3::_val(context).requirement = x3::_attr(context);
    x3::_val(context).requirement_span = s.file->exprs[x3::_attr(context)].span;
};
constexpr auto begin_says = [](auto &context) {
    ast::Says &says = x3::_val(context).says;
    if (!says.lines.empty())
        twice(state(context), "`says`", span_of_word(context, "says"), says.lines.front().span);
    says.lines.clear();
};
constexpr auto add_says = [](auto &context) {
    x3::_val(context).says.lines.push_back(std::move(x3::_attr(context)));
};

template <typename Member>
constexpr auto append(std::vector<Member> RuleDecl::*member) {
    return [member](auto &context) {
        (x3::_val(context).*member).push_back(std::move(x3::_attr(context)));
    };
}

constexpr auto push_name = [](auto &context) {
    x3::_val(context).push_back(std::move(x3::_attr(context)));
};
constexpr auto names_def = name[push_name] >> *(sign(",") >> name[push_name]);

constexpr auto force_is(Force f) {
    return [f](auto &context) { x3::_val(context) = f; };
}
constexpr auto force_word_def = clause_word("shall")[force_is(Force::shall)] |
                                clause_word("should")[force_is(Force::should)] |
                                clause_word("information")[force_is(Force::information)] |
                                clause_word("caution")[force_is(Force::caution)];

// A part, a condition or a limit is costly to make and to throw away: first a look at the word.
constexpr auto part_ahead =
    &(clause_word("listed") | clause_word("except") | clause_word("path") | clause_word("permits"));
constexpr auto limit_ahead = &(clause_word("limit") | clause_word("reading"));

constexpr auto requirement_mark = into(&RuleDecl::requirement_mark);

// What is written most comes first; the layout before a line is skipped once for all of them.
constexpr auto rule_body_def = *(
    layout >> ((&clause_word("where") >> condition[append(&RuleDecl::conditions)]) |
               (clause_word("topic") >> name[once(&RuleDecl::topic, "topic")]) |
               (clause_word("for") >> name[once(&RuleDecl::item, "for")]) |
               (clause_word("stage") >> names[list_once(&RuleDecl::stages, "stage")]) |
               (clause_word("says")[begin_says] >> +text[add_says]) |
               (clause_word("source") >> +text[append(&RuleDecl::sources)]) |
               (clause_word("shall")[force(Force::shall, "shall")] >> expression[requirement] >>
                -mark[requirement_mark]) |
               (clause_word("note") >> +text[append(&RuleDecl::notes)]) |
               (limit_ahead >> limit[append(&RuleDecl::limits)]) |
               (part_ahead >> part[append(&RuleDecl::parts)]) |
               (clause_word("within") >> name[once(&RuleDecl::within, "within")]) |
               (&clause_word("numbered") >> numbered[append(&RuleDecl::numbered)]) |
               (clause_word("binds") >> names[list_once(&RuleDecl::binds, "binds")]) |
               (clause_word("should")[force(Force::should, "should")] >> expression[requirement] >>
                -mark[requirement_mark]) |
               (clause_word("information")[force(Force::information, "information")] >>
                -expression[requirement] >> -mark[requirement_mark]) |
               clause_word("caution")[force(Force::caution, "caution")] |
               (clause_word("displaces") >> names[list_once(&RuleDecl::displaces, "displaces")])));

// --- the declaration

RuleDecl &body(auto &context) {
    return std::get<RuleDecl>(x3::_val(context).body);
}

constexpr auto start(bool clause, bool replaces) {
    return [clause, replaces](auto &context) {
        x3::_val(context).kind = DeclKind::rule;
        RuleDecl &r = x3::_val(context).body.template emplace<RuleDecl>();
        r.clause = clause;
        r.replaces = replaces;
    };
}
constexpr auto rule_citation = [](auto &context) {
    body(context).citation = std::move(x3::_attr(context));
};
constexpr auto rule_title = [](auto &context) {
    body(context).title = std::move(x3::_attr(context).text);
};
constexpr auto rule_rest = [](auto &context) {
    RuleDecl &head = body(context);
    RuleDecl &rest = x3::_attr(context);
    rest.citation = std::move(head.citation);
    rest.title = std::move(head.title);
    rest.clause = head.clause;
    rest.replaces = head.replaces;
    rest.old_text = std::move(head.old_text);
    rest.mark = head.mark;
    head = std::move(rest);
};
constexpr auto rule_old_text = [](auto &context) {
    body(context).old_text = std::move(x3::_attr(context));
};
constexpr auto rule_mark = [](auto &context) { body(context).mark = x3::_attr(context); };
constexpr auto in_editions = [](auto &context) {
    x3::_val(context).editions = std::move(x3::_attr(context));
};

constexpr auto rule_start = citation[rule_citation] >> -text[rule_title] >>
                            -(connective("in") >> editions[in_editions]);

constexpr auto rule_declaration_def =
    (((clause_word("rule")[start(false, false)] | clause_word("clause")[start(true, false)]) >>
      rule_start) |
     (clause_word("replace") >> clause_word("rule")[start(false, true)] >> rule_start >>
      -(comparing("from") >> digest[rule_old_text]))) >>
    -mark[rule_mark] >> rule_body[rule_rest] >> DeclarationEnd{};

} // namespace

BOOST_SPIRIT_DEFINE(part, part_text, force_word, names, limit, condition, rule_body,
                    rule_declaration)
BOOST_SPIRIT_INSTANTIATE(PartRule, Iterator, Context)
BOOST_SPIRIT_INSTANTIATE(PartTextRule, Iterator, Context)
BOOST_SPIRIT_INSTANTIATE(ForceWordRule, Iterator, Context)
BOOST_SPIRIT_INSTANTIATE(NamesRule, Iterator, Context)
BOOST_SPIRIT_INSTANTIATE(LimitRule, Iterator, Context)
BOOST_SPIRIT_INSTANTIATE(ConditionRule, Iterator, Context)
BOOST_SPIRIT_INSTANTIATE(RuleBodyRule, Iterator, Context)
BOOST_SPIRIT_INSTANTIATE(RuleRule, Iterator, Context)

} // namespace groundrule::syntax
