// Every form of declaration is read, and a broken one hides nothing.

#include "syntax/parse.h"

#include "trial.h"

#include "catch.h"

namespace {

using namespace groundrule;
using ast::DeclKind;

struct Parsed {
    Sources sources;
    ast::File file;
    Diagnostics diagnostics;
};

Parsed parse(const std::string &text) {
    Parsed out;
    out.sources.emplace_back("file.rules", text);
    out.file = syntax::parse(out.sources.front(), 0, out.diagnostics);
    return out;
}

// The declaration, which is the only one and has no faults.
template <typename Body>
Body only(const std::string &text) {
    const Parsed p = parse(text);
    INFO(render(p.diagnostics, p.sources));
    REQUIRE(p.diagnostics.size() == 0);
    REQUIRE(p.file.decls.size() == 1);
    return std::get<Body>(p.file.decls.front().body);
}

std::vector<std::string> texts(const std::vector<ast::Name> &names) {
    std::vector<std::string> out;
    for (const ast::Name &n : names)
        out.push_back(n.text);
    return out;
}

using Words = std::vector<std::string>;

} // namespace

TEST_CASE("headers: vocabulary, edition, part of, amendment") {
    CHECK(parse("vocabulary\n").file.decls.front().kind == DeclKind::vocabulary);
    const auto edition = only<ast::Header>("edition nec-2020\n  title \"T\"\n  publisher \"P\"\n");
    CHECK(texts(edition.names) == Words{"nec-2020"});
    CHECK(edition.title == "T");
    CHECK(edition.publisher == "P");
    const auto part = only<ast::Header>("part of nec-2017, nec-2020\n");
    CHECK(texts(part.names) == Words{"nec-2017", "nec-2020"});
    const auto amendment = only<ast::Header>(
        "amendment city-1 to nec-2020\n  title \"T\"\n  authority \"A\"\n  effective 2021-07-01\n");
    CHECK(amendment.base.text == "nec-2020");
    CHECK(amendment.authority == "A");
    CHECK(amendment.effective == "2021-07-01");
}

TEST_CASE("type: choices by name and in quotes") {
    const auto type = only<ast::TypeDecl>("type room : one of (garage, \"14-50R\")\n");
    CHECK(type.name.text == "room");
    CHECK(texts(type.choices) == Words{"garage", "14-50R"});
}

TEST_CASE("group: a set of choices, new or in place of another") {
    const auto group = only<ast::GroupDecl>("group wet of room = (bathroom, kitchen)\n");
    CHECK(group.type.text == "room");
    CHECK(texts(group.choices) == Words{"bathroom", "kitchen"});
    CHECK_FALSE(group.replaces);
    CHECK(only<ast::GroupDecl>("replace group wet of room = (bathroom)\n").replaces);
}

TEST_CASE("item: its parent, its list and its fields") {
    const auto item = only<ast::ItemDecl>(
        "item box in circuit as boxes \"A box\"\n  volume : volume measure \"How large?\"\n"
        "  colour : one of (red, blue) choice \"Which?\"\n");
    CHECK(item.parent.text == "circuit");
    CHECK(item.list.text == "boxes");
    REQUIRE(item.fields.size() == 2);
    CHECK(item.fields[0].type.name.text == "volume");
    CHECK(item.fields[0].kind.text == "measure");
    CHECK(item.fields[0].question == "How large?");
    CHECK(texts(item.fields[1].type.choices) == Words{"red", "blue"});
}

TEST_CASE("imply: facts and their source") {
    const auto imply =
        only<ast::ImplyDecl>("imply box \"Its word\"\n  volume = 3 in³\n  round = no\n");
    CHECK(imply.source == "Its word");
    CHECK(imply.facts.size() == 2);
}

TEST_CASE("remedy: values, what is then so, what goes, what stays, what is carried along") {
    const auto remedy = only<ast::RemedyDecl>(
        "remedy run \"Another way\"\n  method = emt, \"NM-B\"\n  sealed = yes\n"
        "  without designation, sheath\n  keeps size\n"
        "  carries entry.designation with designation keeps size, grounds\n"
        "  carries device.size with size\n");
    CHECK(remedy.item.text == "run");
    CHECK(remedy.title == "Another way");
    CHECK(remedy.field.text == "method");
    CHECK(!remedy.any);
    CHECK(remedy.values.size() == 2);
    REQUIRE(remedy.also.size() == 1);
    CHECK(remedy.also[0].field.text == "sealed");
    CHECK(texts(remedy.without) == Words{"designation", "sheath"});
    CHECK(texts(remedy.keeps) == Words{"size"});
    REQUIRE(remedy.carried.size() == 2);
    CHECK(remedy.carried[0].item.text == "entry");
    CHECK(texts(remedy.carried[0].keeps) == Words{"size", "grounds"});
    CHECK(remedy.carried[1].with.text == "size");
    CHECK(only<ast::RemedyDecl>("remedy run \"Any\"\n  method = any\n").any);
}

TEST_CASE("table: keys across and down, how they match, and empty cells") {
    const auto table = only<ast::TableDecl>(
        "table 250.122 \"Ground\"\n  numbered 250.95 in old-1\n  gives conductor_size\n"
        "  by device : current at most, material : material\n"
        "  material | copper | aluminum\n  15 A | 14 AWG | --\n");
    CHECK(table.citation.text == "250.122");
    CHECK(table.numbered.front().citation.text == "250.95");
    REQUIRE(table.keys.size() == 2);
    CHECK(table.keys[0].match == ast::KeyMatch::at_most);
    CHECK(table.keys[1].match == ast::KeyMatch::exact);
    REQUIRE(table.rows.size() == 2);
    CHECK(table.rows[1].cells[2].kind == ast::Cell::Kind::empty);
}

TEST_CASE("list: a title, a type and values") {
    const auto list = only<ast::ListDecl>("list 240.6(A) \"Ratings\" of current\n  = 15 A, 20 A\n");
    CHECK(list.type.name.text == "current");
    CHECK(list.values.size() == 2);
}

TEST_CASE("define: a function, a definition of an item, and a replacement") {
    const auto function =
        only<ast::DefineDecl>("define next(i : current) : current\n  = i + 1 A\n");
    CHECK(function.parameters.size() == 1);
    CHECK(function.item.text.empty());
    const auto member = only<ast::DefineDecl>("define box.free : volume \"Free\"\n  = volume\n");
    CHECK(member.item.text == "box");
    CHECK(member.title == "Free");
    CHECK(only<ast::DefineDecl>("replace define box.free : volume\n  = volume\n").replaces);
}

TEST_CASE("rule: every clause, in order") {
    const auto rule = only<ast::RuleDecl>(R"(rule 210.8(A) "Receptacles"
  topic    probe
  within   above
  displaces general
  stage    design, acceptance
  for      receptacle
  binds    new, existing
  limit    highest = 250 V
  reading  strict = yes "Taken strictly"
  where    dwelling : voltage at most highest
  shall    gfci is class_a
  says     "One {voltage} and"
           " two {{braces}}."
  listed   (1) "Bathrooms" where location is bathroom
  except   1 "Snow" where melting
           says "Covered."
  except   2 not encoded "Fans" where location is bathroom
  note     "A note."
  source   "A source."
)");
    CHECK(rule.topic.text == "probe");
    CHECK(rule.within.text == "above");
    CHECK(texts(rule.displaces) == Words{"general"});
    CHECK(texts(rule.stages) == Words{"design", "acceptance"});
    CHECK(texts(rule.binds) == Words{"new", "existing"});
    REQUIRE(rule.limits.size() == 2);
    CHECK(rule.limits[1].reading);
    CHECK(rule.conditions.front().name.text == "dwelling");
    REQUIRE(rule.parts.size() == 3);
    CHECK(rule.parts[0].label == "(1)");
    CHECK(rule.parts[1].says.lines.size() == 1);
    CHECK_FALSE(rule.parts[2].encoded);
    CHECK(rule.says.lines.size() == 2);
    CHECK(rule.notes.size() == 1);
    CHECK(rule.sources.size() == 1);
}

TEST_CASE("rule: paths, permissions, advice and cautions") {
    const std::string head = "rule 1.1 \"R\"\n  topic t\n  for box\n";
    const auto paths =
        only<ast::RuleDecl>(head + "  path (1) \"A\" where a\n  path (2) \"B\" where b\n"
                                   "  says \"x\"\n");
    CHECK(paths.parts[1].kind == ast::Part::Kind::path);
    const auto permits = only<ast::RuleDecl>(head + "  permits (1) \"A\" where a\n  says \"x\"\n");
    CHECK(permits.parts[0].kind == ast::Part::Kind::permit);
    CHECK(only<ast::RuleDecl>(head + "  should a\n  says \"x\"\n").force == ast::Force::should);
    CHECK(only<ast::RuleDecl>(head + "  information a\n  says \"x\"\n").force ==
          ast::Force::information);
    CHECK(only<ast::RuleDecl>(head + "  caution\n  where a\n  says \"x\"\n").force.has_value() ==
          true);
    CHECK(only<ast::RuleDecl>("clause 1.1 \"C\"\n  topic c\n  for box\n  where a\n").clause);
}

TEST_CASE("rule: what holds in some editions only") {
    const Parsed p = parse("rule 1.1 \"R\"\n  in e-1, e-2\n  topic t\n  numbered 1.2(B) in e-2\n"
                           "  for box\n  where in e-1 named : a\n  shall b\n  says \"x\"\n"
                           "  listed (5) in e-2 \"L\" where c\n");
    INFO(render(p.diagnostics, p.sources));
    REQUIRE(p.file.decls.size() == 1);
    const auto &rule = std::get<ast::RuleDecl>(p.file.decls.front().body);
    CHECK(texts(p.file.decls.front().editions) == Words{"e-1", "e-2"});
    CHECK(rule.numbered.front().citation.text == "1.2(B)");
    CHECK(texts(rule.conditions.front().editions) == Words{"e-1"});
    CHECK(texts(rule.parts.front().editions) == Words{"e-2"});
}

TEST_CASE("test: situations, changes of them and expected verdicts") {
    const auto test =
        only<ast::TestDecl>("test probe \"T\"\n  given job.work = new, box.volume = 3 in³\n"
                            "         another box\n         complete circuit.boxes\n"
                            "  expect violates (210.8(A)(2))\n  with box.round = yes without "
                            "box.volume expect complies\n"
                            "  source \"S\"\n");
    CHECK(test.given.size() == 4);
    REQUIRE(test.cases.size() == 2);
    CHECK(test.cases[0].citation == "210.8(A)(2)");
    CHECK(test.cases[1].with.size() == 1);
    CHECK(test.cases[1].without.size() == 1);
}

TEST_CASE("gap: a clause that is not written out") {
    CHECK(only<ast::GapDecl>("gap 220.83 \"Room\"\n").citation.text == "220.83");
}

TEST_CASE("changes: each form of an amendment") {
    using Kind = ast::ChangeDecl::Kind;
    const std::vector<std::pair<std::string, Kind>> forms = {
        {"delete rule 210.8(A)(5)", Kind::delete_text},
        {"delete exception 1 of rule 210.8(A)", Kind::delete_exception},
        {"change spacing of rule 334.30 from 4 ft 6 in to 24 in", Kind::change_limit},
        {"change spacing of rule 334.30 topic t from yes to no", Kind::change_limit},
        {"change table 310.16 [8 AWG, copper, 60 °C] from 40 A to --", Kind::change_cell},
        {"change table \"T\" [red].b from 40 A to 35 A", Kind::change_cell},
        {"narrow rule 334.10(2) to where storeys at most 3", Kind::narrow},
        {"delay rule 210.8(F) until 2023-01-01", Kind::delay},
        {"add to rule 210.8(A)\n  except 2 \"High\" where a", Kind::add_to_rule},
    };
    for (const auto &[text, kind] : forms) {
        INFO(text);
        CHECK(only<ast::ChangeDecl>(text + "\n").kind == kind);
    }
    CHECK(only<ast::RuleDecl>("replace rule 1.1\n  topic t\n  for box\n  shall a\n  says \"x\"\n")
              .replaces);
}

TEST_CASE("layout is free, comments are passed over, and a keyword elsewhere may be spread out") {
    const auto type = only<ast::TypeDecl>("# head\n\ntype room : # why\n\n\t one of\n  (garage,\n"
                                          "# in between\n   kitchen)   # end");
    CHECK(texts(type.choices) == Words{"garage", "kitchen"});
}

TEST_CASE("a broken declaration does not hide the next: three faults are all told") {
    const Parsed p = parse("vocabulary\n\ntype a one of (x)\n\ntype b : one of (y)\n\n"
                           "item c in d as\n\ngap 1.1 missing\n\ntype e : one of (z)\n");
    CHECK(p.diagnostics.size() == 3);
    std::vector<std::uint32_t> lines;
    for (const Diagnostic &d : p.diagnostics.list())
        lines.push_back(p.sources[0].place(d.span.begin).line);
    CHECK(lines.size() == 3);
    CHECK(p.file.decls.size() == 3); // the header and the two good types
}

TEST_CASE("a missing quote is told on its own line") {
    const Parsed p = parse("vocabulary\n\ngap 1.1 \"never ends\n\ngap 1.2 \"good\"\n");
    REQUIRE(p.diagnostics.size() == 1);
    CHECK(p.sources[0].place(p.diagnostics.list()[0].span.begin).line == 3);
    CHECK(p.file.decls.size() == 2);
}

TEST_CASE("a mixture of and with or is refused with a way out") {
    for (const char *condition : {"a and b or c", "a or b and c", "(a and b) or c and d"}) {
        const Parsed p = parse("rule 1.1 \"R\"\n  topic t\n  for box\n  shall " +
                               std::string(condition) + "\n  says \"x\"\n");
        CHECK(trial::codes(p.diagnostics) == "mixed-and-or");
    }
    CHECK(parse("rule 1.1 \"R\"\n  topic t\n  for box\n  shall (a and b) or c\n  says \"x\"\n")
              .diagnostics.size() == 0);
}

TEST_CASE("a misspelt keyword is answered with the nearest word") {
    const Parsed p = parse("vocabulary\n\ntabel 1.1 \"T\"\n");
    CHECK(render(p.diagnostics, p.sources) ==
          "file.rules:3:1: error [unknown-declaration]: no declaration begins with `tabel`\n"
          "  3 | tabel 1.1 \"T\"\n"
          "    | ^^^^^\n"
          "  help: did you mean `table`?\n");
}

TEST_CASE("a literal finer than the grid is an error in a rule") {
    const auto with = [](const std::string &value) {
        return trial::codes(parse("rule 1.1 \"R\"\n  topic t\n  for box\n  shall a at most " +
                                  value + "\n  says \"x\"\n")
                                .diagnostics);
    };
    CHECK(with("0.000001 A").empty());
    CHECK(with("0.0000001 A") == "off-grid");
    CHECK(with("0.0001 VA") == "off-grid");
    CHECK(with("1/16 in").empty());
    CHECK(with("1/3 in") == "off-grid");
    CHECK(with("9007199255 A") == "too-large");
    CHECK(with("7 AWG") == "no-such-size");
    CHECK(with("2021-02-30") == "bad-date");
    CHECK(with("30 amps") == "unknown-unit");
}
