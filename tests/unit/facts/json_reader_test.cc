// Jobs as JSON: what is read, and every fault with its place, path and the nearest name.

#include "facts/json_reader.h"

#include "text/limits.h"

#include "trial.h"

#include "catch.h"

namespace {

using namespace groundrule;

const trial::Compiled &compiled() {
    static const trial::Compiled c = trial::compiled(trial::rule_that("sealed"));
    return c;
}

Diagnostics faults_of(const std::string &json) {
    Diagnostics diagnostics;
    const auto job = facts::job_from_json(*compiled().book, json, "job.json", diagnostics);
    CHECK(job.has_value() == (diagnostics.size() == 0));
    return diagnostics;
}

// The only fault, as a person reads it.
std::string told(const std::string &json) {
    const Diagnostics diagnostics = faults_of(json);
    INFO(render(diagnostics, {}));
    REQUIRE(diagnostics.size() == 1);
    return render(diagnostics, {});
}

std::string code(const std::string &json) {
    return trial::codes(faults_of(json));
}

bool holds(const std::string &text, const std::string &part) {
    return text.find(part) != std::string::npos;
}

std::string crate(const std::string &facts) {
    return "{\"crates\":[{" + facts + "}]}";
}

Cell fact(const facts::Job &job, const std::string &item, const std::string &field,
          std::size_t row = 0) {
    const book::Book &book = *compiled().book;
    const std::int32_t i = book::find_item(book, item);
    const std::int32_t f = book::find_field(book.items[static_cast<std::size_t>(i)], field);
    return job.rows(i).given.at(static_cast<std::size_t>(f), row);
}

std::vector<std::string> paths_of(const facts::Job &job, std::int32_t item) {
    std::vector<std::string> out;
    for (std::size_t row = 0; row < job.rows(item).size(); ++row)
        out.push_back(job.path(item, row));
    return out;
}

facts::Job job(const std::string &json) {
    return trial::job_of(*compiled().book, json);
}

} // namespace

TEST_CASE("facts are read into the base unit, on the grid") {
    const facts::Job j =
        job(crate(R"("load":"0.03 kA","width":"4 ft 6 in","heat":"86 °F",)"
                  R"("share":0.1,"colour":"green","sealed":true,)"
                  R"("wire":"1/0 AWG","made":"1970-01-02","rating":"0.1000001 A")"));
    CHECK(fact(j, "crate", "load").value == 30);
    CHECK(fact(j, "crate", "width").value == 1371.6);
    CHECK(fact(j, "crate", "heat").value == 30);
    CHECK(fact(j, "crate", "share").value == 0.1);
    CHECK(fact(j, "crate", "colour").value == 1);
    CHECK(fact(j, "crate", "sealed").value == 1);
    CHECK(fact(j, "crate", "made").value == 1);
    CHECK(fact(j, "crate", "rating").value == 0.1);
    CHECK_FALSE(fact(j, "crate", "supply").known());
}

TEST_CASE("null says that a fact is unknown") {
    const facts::Job j = job(crate(R"("load":null,"sealed":null,"colour":null)"));
    for (const char *field : {"load", "sealed", "colour"})
        CHECK_FALSE(fact(j, "crate", field).known());
}

TEST_CASE("lists make items, in order, with their paths and ids") {
    const facts::Job j = job(R"({"note":"A job","crates":[{"id":"a"},{"pieces":[{},{"id":"p"}],)"
                             R"("complete":["pieces"]}]})");
    const std::int32_t crate_item = book::find_item(*compiled().book, "crate");
    const std::int32_t piece_item = book::find_item(*compiled().book, "piece");
    CHECK(j.title == "A job");
    CHECK(j.rows(crate_item).id == std::vector<std::string>{"a", ""});
    CHECK(paths_of(j, piece_item) ==
          std::vector<std::string>{"crates[1].pieces[0]", "crates[1].pieces[1]"});
    CHECK(j.rows(piece_item).parent == std::vector<std::int32_t>{1, 1});
    CHECK(j.is_complete(crate_item, piece_item, 1));
    CHECK_FALSE(j.is_complete(crate_item, piece_item, 0));
}

TEST_CASE("work is that of the item above where an item has none of its own") {
    const facts::Job j = job(
        R"({"work":"existing","crates":[{"pieces":[{}]},{"work":"new","pieces":[{},{"work":"altered"}]}]})");
    CHECK(fact(j, "crate", "work", 0).value == 3);
    CHECK(fact(j, "piece", "work", 0).value == 3);
    CHECK(fact(j, "piece", "work", 1).value == 0);
    CHECK(fact(j, "piece", "work", 2).value == 1);
    CHECK_FALSE(fact(job(crate("")), "crate", "work").known());
}

TEST_CASE("a misspelt field is told with line, column, path and the nearest name") {
    const std::string text = told("{\n  \"crates\": [\n    { \"laod\": \"30 A\" }\n  ]\n}");
    INFO(text);
    CHECK(text.find("job.json:3:") == 0);
    CHECK(holds(text, "crates[0]"));
    CHECK(holds(text, "\"laod\" is no field of crate"));
    CHECK(holds(text, "did you mean \"load\"?"));
    CHECK(holds(told(R"({"crate":[]})"), "did you mean \"crates\"?"));
    CHECK(holds(told(crate(R"("complet":[])")), "did you mean \"complete\"?"));
}

TEST_CASE("a wrong unit names the field, both dimensions and the units that fit") {
    const std::string text = told(crate(R"("load":"30 V")"));
    INFO(text);
    CHECK(holds(text, "crate.load is a current"));
    CHECK(holds(text, "\"30 V\" is a voltage"));
    CHECK(holds(text, "A, mA, kA"));
    CHECK(holds(told(crate(R"("heat":"30 °C rise")")), "temperature_difference"));
}

TEST_CASE("an unknown unit, a bare number and a number in quotes have no unit to go by") {
    CHECK(code(crate(R"("load":"30 amps")")) == "unknown-unit");
    CHECK(code(crate(R"("load":30)")) == "no-unit");
    CHECK(code(crate(R"("load":"30")")) == "no-unit");
    CHECK(code(crate(R"("share":"3 A")")) == "wrong-unit");
    CHECK(code(crate(R"("share":3)")).empty());
    CHECK(code(crate(R"("share":"80 %")")).empty());
}

TEST_CASE("values of another kind are told: a text for a truth, a list for one value") {
    CHECK(code(crate(R"("sealed":"yes")")) == "wrong-type");
    CHECK(code(crate(R"("sealed":1)")) == "wrong-type");
    CHECK(code(crate(R"("load":true)")) == "wrong-type");
    CHECK(code(crate(R"("colour":false)")) == "wrong-type");
    CHECK(code(crate(R"("load":["30 A"])")) == "wrong-type");
    CHECK(code(crate(R"("load":{"value":"30 A"})")) == "wrong-type");
    CHECK(code(R"({"crates":{}})") == "wrong-type");
    CHECK(code(R"({"crates":3})") == "wrong-type");
    CHECK(code(R"({"crates":["x"]})") == "wrong-type");
    CHECK(code(R"({"crates":[{"id":3}]})") == "wrong-type");
    CHECK(code(crate(R"("wire":8)")) == "wrong-type");
    CHECK(code(crate(R"("load":"8 AWG")")) == "wrong-unit");
    CHECK(code(crate(R"("made":"yesterday")")) == "not-a-value");
}

TEST_CASE("what stands in place of the name of a complete list, or of an assumed fact, is told") {
    CHECK(code(R"({"complete":[3]})") == "wrong-type");
    CHECK(code(R"({"complete":[null]})") == "wrong-type");
    CHECK(code(R"({"complete":[{}]})") == "wrong-type");
    CHECK(code(R"({"complete":[[]]})") == "wrong-type");
    CHECK(code(crate(R"("assumed":{"load":{}})")) == "wrong-type");
    CHECK(code(crate(R"("assumed":{"load":["3 A"]})")) == "wrong-type");
    CHECK(code(crate(R"("assumed":{"pieces":[]})")) == "unknown-field");
}

TEST_CASE("a note of an item is for people and is no title of the job") {
    const facts::Job j = job(R"({"note":"The job","crates":[{"note":"Seen on site"}]})");
    CHECK(j.title == "The job");
    CHECK(job(R"({"crates":[{"note":"Seen on site"}]})").title.empty());
}

TEST_CASE("choices and lists by unknown names are answered with the nearest") {
    CHECK(holds(told(crate(R"("colour":"gren")")), "did you mean \"green\"?"));
    CHECK(holds(told(crate(R"("colour":"Red")")), "did you mean \"red\"?"));
    CHECK(holds(told(crate(R"("complete":["peices"])")), "did you mean \"pieces\"?"));
    CHECK(code(crate(R"("colour":"")")) == "unknown-choice");
}

TEST_CASE("values out of range are refused") {
    CHECK(code(crate(R"("load":"-3 A")")) == "negative");
    CHECK(code(crate(R"("share":-3)")) == "negative");
    CHECK(code(crate(R"("heat":"-3 °C")")).empty());
    CHECK(code(crate(R"("load":"99999999999 A")")) == "too-large");
    CHECK(code(crate(R"("share":1e300)")) == "too-large");
    CHECK(code(crate(R"("wire":"7 AWG")")) == "not-a-value");
    CHECK(code(crate(R"("made":"2021-02-30")")) == "not-a-value");
    CHECK(code(crate(R"("load":"30 A, or so")")) == "not-a-value");
    CHECK(code(crate(R"("load":"")")) == "not-a-value");
}

TEST_CASE("a key that is given twice is told, for facts and for lists") {
    CHECK(code(crate(R"("load":"30 A","load":"30 A")")) == "given-twice");
    CHECK(code(R"({"crates":[],"crates":[]})") == "given-twice");
    CHECK(code(R"({"note":"a","note":"b"})") == "given-twice");
    CHECK(code(R"({"complete":[],"complete":[]})") == "given-twice");
    CHECK(code(R"({"crates":[{"load":"3 A"},{"load":"3 A"}]})").empty());
}

TEST_CASE("what is no JSON is told with its place") {
    CHECK(told("{\n \"crates\": [}").find("job.json:2:") == 0);
    CHECK(code("") == "not-json");
    CHECK(code("{") == "not-json");
    CHECK(code(R"({"crates":[{"load":"30 A"})") == "not-json");
    CHECK(code("{} {}") == "not-json");
    CHECK(code(R"({"crates":[],})") == "not-json");
    CHECK(code("{\"note\":\"\xFF\"}") == "not-json");
    CHECK(code("[]") == "not-a-job");
    CHECK(code("3") == "not-a-job");
    CHECK(code("\"crates\"") == "not-a-job");
    CHECK(code("null") == "not-a-job");
}

TEST_CASE("a zero byte is told with its place: what stands behind it would be lost") {
    const std::string text = told(std::string("{\n \"crates\": [\0]}", 16));
    CHECK(text.find("job.json:2:13: ") == 0);
    CHECK(holds(text, "a zero byte stands here"));
}

TEST_CASE("a number beyond what a computer holds is told as such, with its place") {
    const std::string text = told("{\n \"crates\":[{\"share\":1e999}]}");
    CHECK(text.find("job.json:2:") == 0);
    CHECK(holds(text, "this number is too large to be read"));
    CHECK(code(crate(R"("share":-1e999)")) == "too-large");
}

TEST_CASE("every cut of a document is refused, and none does harm") {
    const std::string whole = crate(R"("load":"30 A","colour":"red","pieces":[{"draw":"1 A"}])");
    for (std::size_t cut = 0; cut < whole.size(); ++cut)
        CHECK(faults_of(whole.substr(0, cut)).size() >= 1);
    CHECK(faults_of(whole).size() == 0);
}

TEST_CASE("depth is bounded, also where nothing is read") {
    const auto deep = [](std::size_t depth) {
        return "{\"unheard_of\":" + std::string(depth, '[') + std::string(depth, ']') + "}";
    };
    CHECK(code(deep(limits::job_nesting - 2)) == "unknown-field");
    CHECK(holds(code(deep(limits::job_nesting + 1)), "too-deep"));
    CHECK(holds(code(deep(200000)), "too-deep"));
}

TEST_CASE("depth is bounded where items themselves lie deep within each other") {
    std::string words = "vocabulary\n";
    std::string lists;
    std::string ends;
    for (std::size_t i = 0; i < limits::job_nesting / 2; ++i) {
        words += "\nitem nest_" + std::to_string(i) + " in " +
                 (i == 0 ? "job" : "nest_" + std::to_string(i - 1)) + " as nests_" +
                 std::to_string(i) + " \"A nest\"\n  warm : yes_no measure \"Is it warm?\"\n";
        lists += R"({"nests_)" + std::to_string(i) + R"(":[)";
        ends += "]}";
    }
    const book::Opened opened = trial::open("", {}, words);
    INFO(trial::faults(opened));
    REQUIRE(opened.book);
    const auto codes_of = [&](const std::string &innermost) {
        Diagnostics diagnostics;
        facts::job_from_json(*opened.book, lists + innermost + ends, "job.json", diagnostics);
        return trial::codes(diagnostics);
    };
    CHECK(codes_of(R"({"warm":true})").empty());
    CHECK(codes_of(R"({"warm":{}})") == "wrong-type too-deep");
    CHECK(codes_of(R"({"warm":[]})") == "wrong-type too-deep");
}

TEST_CASE("a document beyond the bound is refused before it is looked at") {
    const std::string text = told(std::string(limits::job_bytes + 1, ' '));
    CHECK(text.find("job.json:1:1: ") == 0);
    CHECK(holds(text, std::to_string(limits::job_bytes) + " are read"));
}

TEST_CASE("all faults of a job are told, up to the bound") {
    const Diagnostics three =
        faults_of(R"({"crates":[{"laod":{"a":[1]},"sealed":"x"},{"load":30,"width":"1 in"}]})");
    CHECK(trial::codes(three) == "unknown-field wrong-type no-unit");
    std::string many = "{\"crates\":[";
    for (int i = 0; i < 300; ++i)
        many += std::string(i == 0 ? "" : ",") + "{\"load\":30}";
    CHECK(faults_of(many + "]}").size() == limits::faults_per_file);
}

TEST_CASE("a job holds items to the bound and no more") {
    const auto crates = [](std::size_t count) {
        std::string out = "{\"crates\":[{}";
        for (std::size_t i = 1; i < count; ++i)
            out += ",{}";
        return out + "]}";
    };
    CHECK(code(crates(limits::job_items - 1)).empty()); // the job is one
    CHECK(code(crates(limits::job_items)) == "too-large");
}

TEST_CASE("what stands under a key that is unknown is passed over, whatever it is") {
    CHECK(code(crate(R"("laod":{"load":"x","a":[1,true,null,{"sealed":3}]},"sealed":true)")) ==
          "unknown-field");
    CHECK(code(crate(R"("laod":["x",{}],"sealed":"yes")")) == "unknown-field wrong-type");
}

TEST_CASE("reading ends with the last fault that is told, whichever it is") {
    for (const char *faulty :
         {R"("load":30)", R"("load":{})", R"("load":[])", R"("laod":"30 A")", R"("pieces":["p"])",
          R"("load":"3 A","load":"3 A")", R"("complete":["peices"])"}) {
        std::string many = "{\"crates\":[";
        for (std::size_t i = 0; i < limits::faults_per_file + 50; ++i)
            many += std::string(i == 0 ? "" : ",") + "{" + faulty + "}";
        INFO(faulty);
        CHECK(faults_of(many + "]}").size() == limits::faults_per_file);
    }
}

TEST_CASE("assumed values are kept apart from what is given, and yield to it") {
    const facts::Job j = job(crate(R"("assumed":{"load":"30 A","rating":"40 A"},"rating":"50 A")"));
    const book::Item &item =
        compiled()
            .book->items[static_cast<std::size_t>(book::find_item(*compiled().book, "crate"))];
    CHECK_FALSE(fact(j, "crate", "load").known());
    const auto load = static_cast<std::size_t>(book::find_field(item, "load"));
    CHECK(j.rows(book::find_item(*compiled().book, "crate")).assumed.at(load, 0).value == 30);
    CHECK(trial::holds("rating = 50 A", R"("assumed":{"rating":"40 A"},"rating":"50 A")") == "yes");
    CHECK(trial::holds("load = 30 A", R"("assumed":{"load":"30 A"})") == "yes");
    CHECK(code(crate(R"("assumed":{"laod":"30 A"})")) == "unknown-field");
}

TEST_CASE("two sources that differ are a contradiction that names both") {
    const std::string words = trial::vocabulary +
                              "\nimply crate \"What red means\"\n"
                              "  sealed = if colour is red then yes otherwise unknown\n";
    const trial::Compiled c = trial::compiled(trial::open(trial::rule_that("sealed"), {}, words));
    const auto contradictions = [&](const std::string &facts) {
        const facts::Job j = trial::job_of(*c.book, trial::crate(facts));
        evaluate::Workspace workspace;
        evaluate::run(c.program, j, workspace);
        return render(report::contradictions(*c.book, c.program, j, workspace), {});
    };
    CHECK(contradictions(R"("colour":"red")").empty());
    CHECK(contradictions(R"("colour":"red","sealed":true)").empty());
    CHECK(contradictions(R"("colour":"green","sealed":false)").empty());
    const std::string text = contradictions(R"("colour":"red","sealed":false)");
    INFO(text);
    CHECK(holds(text, "crates[0]"));
    CHECK(holds(text, "crate.sealed is given as no"));
    CHECK(holds(text, "imply yes (What red means)"));
    CHECK(trial::verdict(c, trial::crate(R"("colour":"red")")) == "complies");
}
