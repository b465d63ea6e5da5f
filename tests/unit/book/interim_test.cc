// Interim amendments of the publisher: which of them a layer's line `interim` takes in.

#include "trial.h"

#include "catch.h"

namespace {

using namespace groundrule;

const std::string rules =
    "rule 1.1 \"A probe\"\n  topic probe\n  for crate\n  limit widest = 4 ft\n"
    "  shall width at most widest\n  says \"Too wide.\"\n";

std::string layer(const std::string &name, const std::string &head,
                  const std::string &change = "") {
    return "amendment " + name + " to trial-1\n  title \"T\"\n" + head +
           (change.empty() ? "" : "\nchange widest of rule 1.1 from " + change + "\n");
}

// The name under which the book opened, or its faults.
std::string opened(const std::string &name, const std::vector<std::string> &more) {
    const std::string interim = "  publisher \"Nobody\"\n";
    std::vector<book::NamedText> texts = {
        {"words.rules", trial::vocabulary},
        {"trial.rules", trial::edition_head + rules},
        {"second.rules", layer("i-2", interim + "  effective 2024-06-01\n", "3 ft to 2 ft")},
        {"first.rules", layer("i-1", interim + "  effective 2024-05-01\n", "4 ft to 3 ft")},
        {"twin.rules", layer("i-0", interim + "  effective 2024-05-01\n")},
        {"undated.rules", layer("i-x", interim)},
        {"other.rules", "amendment o-1 to another-1\n  title \"T\"\n" + interim},
        {"comment.rules", "# Of another place.\n"}};
    for (std::size_t i = 0; i < more.size(); ++i)
        texts.push_back({"city-" + std::to_string(i) + ".rules", more[i]});
    const book::Opened out = book::open_book(name, texts);
    return out.book ? out.book->name : trial::codes(out.diagnostics);
}

std::string with(const std::string &policy, const std::string &name = "trial-1+city") {
    return opened(name, {layer("city", policy.empty() ? "" : "  interim " + policy + "\n")});
}

} // namespace

TEST_CASE("interim: all are taken in by their dates and names, those to other editions never") {
    CHECK(with("") == "trial-1+city");
    CHECK(with("none") == "trial-1+city");
    CHECK(with("all") == "trial-1+i-x+i-0+i-1+i-2+city");
}

TEST_CASE("interim: as of a day those are taken in that were in force on it, one without a date is "
          "taken in by name only") {
    CHECK(with("as of 2024-04-30") == "trial-1+city");
    CHECK(with("as of 2024-05-01") == "trial-1+i-0+i-1+city");
    CHECK(with("as of 2024-06-01") == "trial-1+i-0+i-1+i-2+city");
    CHECK(with("as of 2024-05-01", "trial-1+i-x+city") == "trial-1+i-0+i-1+i-x+city");
}

TEST_CASE("interim: one that the book names and its layer leaves out is told") {
    CHECK(with("none", "trial-1+i-0+city") == "interim-not-adopted");
    CHECK(with("none", "trial-1+i-x+city") == "interim-not-adopted");
    CHECK(with("as of 2024-04-30", "trial-1+i-0+city") == "interim-not-adopted");
    CHECK(with("as of 2024-05-01", "trial-1+i-0+city") == "trial-1+i-1+i-0+city");
    CHECK(with("", "trial-1+i-0+city") == "trial-1+i-0+city");
}

TEST_CASE("interim: two layers that take in other ones are at odds") {
    const auto two = [](const std::string &first, const std::string &second) {
        return opened("trial-1+city+ward", {layer("city", "  interim " + first + "\n"),
                                            layer("ward", "  interim " + second + "\n")});
    };
    CHECK(two("none", "all") == "layers-disagree");
    CHECK(two("none", "none") == "trial-1+city+ward");
    CHECK(two("as of 2024-05-01", "as of 2024-05-01") == "trial-1+i-0+i-1+city+ward");
    CHECK(two("as of 2024-05-01", "as of 2024-05-02") == "layers-disagree");
}
