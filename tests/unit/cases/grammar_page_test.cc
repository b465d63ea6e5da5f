// docs/grammar.md and the reader of the library are of one grammar.
#include "cases/ebnf.h"
#include "cases/trial.h"
#include "syntax/parse.h"
#include "syntax/split.h"

#include "catch.h"

#include <algorithm>
#include <set>

namespace {

namespace fs = std::filesystem;
using groundrule::Diagnostic;
using groundrule::Diagnostics;
using groundrule::Sources;
using groundrule::SourceText;
using groundrule::cases::Deriver;
using groundrule::cases::Ebnf;
using groundrule::cases::read_file;
using groundrule::cases::Recogniser;
using groundrule::cases::source_dir;

const Ebnf &grammar() {
    static const Ebnf read(read_file(source_dir() / "docs/grammar.md"));
    return read;
}

struct Reading {
    bool read = false;
    std::string faults;
};

// What the page gives in words: lines that stand once, and marks, which stand in printed books.
bool is_beyond_grammar(const std::string &code) {
    return code == "given-twice" || code == "mark-outside";
}

Reading read(const std::string &text) {
    const Sources sources = {SourceText("sentence.rules", text)};
    Diagnostics diagnostics;
    const auto file = groundrule::syntax::parse(sources.front(), 0, diagnostics);
    Reading out;
    const auto &all = diagnostics.list();
    const bool only_beyond = std::all_of(
        all.begin(), all.end(), [](const Diagnostic &d) { return is_beyond_grammar(d.code); });
    out.read = only_beyond && (!all.empty() || file.decls.size() == 1);
    out.faults = render(diagnostics, sources);
    return out;
}

std::vector<std::string> shipped_declarations() {
    std::set<std::string> out; // what editions share stands once
    for (const fs::directory_entry &entry :
         fs::recursive_directory_iterator(source_dir() / "rulesets")) {
        if (entry.path().extension() != ".rules")
            continue;
        const SourceText source(entry.path().string(), read_file(entry.path()));
        Diagnostics diagnostics;
        for (const auto &piece : groundrule::syntax::split(source, 0, diagnostics))
            out.emplace(source.text().substr(piece.begin, piece.end - piece.begin));
    }
    return {out.begin(), out.end()};
}

const char *start_rule(const std::string &declaration) {
    for (const char *word : {"vocabulary", "edition", "part", "adoption", "amendment", "printed"}) {
        if (declaration.starts_with(word))
            return "header";
    }
    return "declaration";
}

struct Range {
    std::size_t begin;
    std::size_t end;
};

// Words, numbers, texts and signs, in the simplest way.
std::vector<Range> tokens_of(const std::string &text) {
    const auto inside = [](char c) {
        return std::isalnum(static_cast<unsigned char>(c)) != 0 || c == '_' ||
               (static_cast<unsigned char>(c) & 0x80u) != 0;
    };
    std::vector<Range> out;
    for (std::size_t at = 0; at < text.size();) {
        std::size_t end = at + 1;
        if (text[at] == '#') {
            at = std::min(text.find('\n', at), text.size());
            continue;
        }
        if (std::isspace(static_cast<unsigned char>(text[at])) != 0) {
            ++at;
            continue;
        }
        if (text[at] == '"')
            end = std::min(text.find('"', at + 1), text.size() - 1) + 1;
        else if (inside(text[at]))
            while (end < text.size() && inside(text[end]))
                ++end;
        out.push_back({at, end});
        at = end;
    }
    return out;
}

std::string mutated(const std::string &text, const std::vector<Range> &tokens,
                    std::mt19937 &random) {
    const std::size_t k = random() % tokens.size();
    const Range a = tokens[k];
    if (random() % 2 == 0 || k + 1 == tokens.size())
        return text.substr(0, a.begin) + text.substr(a.end);
    const Range b = tokens[k + 1];
    return text.substr(0, a.begin) + text.substr(b.begin, b.end - b.begin) +
           text.substr(a.end, b.begin - a.end) + text.substr(a.begin, a.end - a.begin) +
           text.substr(b.end);
}

} // namespace

TEST_CASE("grammar page: sentences made from it are read") {
    Deriver deriver(grammar(), 20230101);
    std::string shortest;
    std::size_t refused = 0;
    for (int i = 0; i < 12000; ++i) {
        const std::string sentence = deriver.sentence(i % 20 == 0 ? "header" : "declaration");
        const Reading reading = read(sentence);
        refused += reading.read ? 0 : 1;
        if (!reading.read && (shortest.empty() || sentence.size() < shortest.size()))
            shortest = sentence;
    }
    INFO("the shortest of them:\n" << shortest << read(shortest).faults);
    CHECK(refused == 0);
}

TEST_CASE("grammar page: it derives its own sentences") {
    Deriver deriver(grammar(), 7);
    Recogniser recogniser(grammar());
    std::string shortest;
    for (int i = 0; i < 500; ++i) {
        const std::string sentence = deriver.sentence("declaration");
        const bool derived = recogniser.accepts("declaration", sentence);
        if (!derived && (shortest.empty() || sentence.size() < shortest.size()))
            shortest = sentence;
    }
    INFO("the shortest that is not:\n" << shortest);
    CHECK(shortest.empty());
}

TEST_CASE("grammar page: it derives the shipped text, and of mutated text what is read") {
    std::mt19937 random(4242);
    Recogniser recogniser(grammar());
    std::size_t differences = 0;
    std::size_t refused = 0;
    std::size_t tried = 0;
    for (const std::string &declaration : shipped_declarations()) {
        const char *start = start_rule(declaration);
        const bool derived = recogniser.accepts(start, declaration);
        INFO(declaration);
        CHECK(derived);
        const std::vector<Range> tokens = tokens_of(declaration);
        for (int i = 0; i < 25 && differences < 10; ++i) {
            const std::string text = mutated(declaration, tokens, random);
            const Reading reading = read(text);
            const bool in_column_one = text[0] != ' ';
            const bool page = in_column_one && recogniser.accepts(start_rule(text), text);
            ++tried;
            refused += reading.read ? 0 : 1;
            if (page == reading.read)
                continue;
            ++differences;
            UNSCOPED_INFO((page ? "derived, not read:\n" : "read, not derived:\n")
                          << text << reading.faults);
            CHECK(page == reading.read);
        }
    }
    CHECK(differences == 0);
    CHECK(tried > 5000);
    CHECK(refused > tried / 3);
}
