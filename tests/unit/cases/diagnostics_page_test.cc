// docs/diagnostics.md: its examples do what it says, and it names every code.
#include "cases/trial.h"

#include "catch.h"

#include <algorithm>
#include <regex>
#include <set>
#include <sstream>

namespace {

namespace fs = std::filesystem;
namespace cases = groundrule::cases;

struct Example {
    std::string code; // the heading above
    std::string info; // behind the fence
    std::string text;
    std::size_t line = 0;
};

std::string page() {
    return cases::read_file(cases::source_dir() / "docs/diagnostics.md");
}

std::vector<Example> examples() {
    std::vector<Example> out;
    std::istringstream lines(page());
    std::string heading;
    bool inside = false;
    std::size_t number = 0;
    for (std::string line; std::getline(lines, line);) {
        ++number;
        if (line.starts_with("```")) {
            if (!inside)
                out.push_back({heading, line.substr(3), {}, number});
            inside = !inside;
        } else if (inside) {
            out.back().text += line + "\n";
        } else if (line.starts_with("### `")) {
            heading = line.substr(5, line.rfind('`') - 5);
        }
    }
    std::erase_if(out, [](const Example &e) {
        return e.info.find("wrong") == std::string::npos &&
               e.info.find("right") == std::string::npos;
    });
    return out;
}

std::string unescaped(const std::string &text) {
    std::string out;
    for (std::size_t i = 0; i < text.size(); ++i) {
        const bool escape = text[i] == '\\' && i + 1 < text.size();
        out += !escape ? text[i] : text[i + 1] == 'n' ? '\n' : text[i + 1];
        i += escape ? 1 : 0;
    }
    return out;
}

// ⟨120 × "not "⟩ and ⟨byte FF⟩.
std::string expanded(const std::string &text) {
    static const std::string open = "⟨";
    static const std::string close = "⟩";
    std::string out;
    std::size_t at = 0;
    for (std::size_t mark = text.find(open); mark != std::string::npos;
         mark = text.find(open, at)) {
        out += text.substr(at, mark - at);
        const std::size_t end = text.find(close, mark);
        const std::string inside = text.substr(mark + open.size(), end - mark - open.size());
        if (inside.starts_with("byte ")) {
            out += static_cast<char>(std::stoi(inside.substr(5), nullptr, 16));
        } else {
            const std::size_t quote = inside.find('"');
            const std::string part =
                unescaped(inside.substr(quote + 1, inside.rfind('"') - quote - 1));
            for (int i = std::stoi(inside); i > 0; --i)
                out += part;
        }
        at = end + close.size();
    }
    return out + text.substr(at);
}

bool has_header(const std::string &text) {
    static const std::regex header("^ *(vocabulary|edition|part of|adoption|amendment|# book)");
    return std::regex_search(text, header);
}

cases::Outcome run(const Example &e) {
    const std::string text = expanded(e.text);
    if (e.info.starts_with("job"))
        return cases::faults_in_job(text);
    if (e.info.starts_with("condition")) {
        const bool pool = e.info.find("for pool") != std::string::npos;
        return cases::faults_in("example.rules", "part of trial\nrule 680.90 \"Example\"\n"
                                                 "  topic example\n  for " +
                                                     std::string(pool ? "pool" : "pump") +
                                                     "\n  shall " + text + "  says \"Example.\"\n");
    }
    return cases::faults_in("example.rules", has_header(text) ? text : "part of trial\n" + text);
}

std::vector<std::string> expected_codes(const Example &e) {
    std::vector<std::string> codes;
    if (e.info.find("wrong") == std::string::npos)
        return codes;
    codes.push_back(e.code);
    const std::size_t with = e.info.find(" with ");
    if (with != std::string::npos)
        codes.push_back(e.info.substr(with + 6));
    std::sort(codes.begin(), codes.end());
    return codes;
}

// String literals of the core that have the form of a code and are none.
bool is_other(const std::string &literal) {
    static const std::set<std::string> others = {"lbf-in", "lbf-ft", "2021-07-01", "nec-2017",
                                                 "nec-2020", "tia-17-2", "look-up", "delayed",
                                                 // Kinds of mutants and of bound work.
                                                 "choice", "figure", "work"};
    return others.count(literal) != 0;
}

void find_all(const std::string &source, const std::regex &form, std::set<std::string> &codes) {
    for (auto it = std::sregex_iterator(source.begin(), source.end(), form);
         it != std::sregex_iterator(); ++it) {
        if (!is_other((*it)[1]))
            codes.insert((*it)[1]);
    }
}

// Every literal with a hyphen between small letters, and single words where a fault is made.
std::set<std::string> codes_in_sources() {
    static const std::regex hyphened("\"([a-z0-9]+(?:-[a-z0-9]+)+)\"");
    static const std::regex made(
        "(?:error|warn|warning|fault|refuse|push_back|fail)\\s*\\((?:\\s*\\{|\\s*"
        "fault,|\\s*error, GR_[A-Z_]+,)?"
        "\\s*\"([a-z]+)\"");
    static const std::regex assigned("code = \"([a-z0-9-]+)\"");
    std::set<std::string> codes;
    for (const fs::directory_entry &entry :
         fs::recursive_directory_iterator(cases::source_dir() / "libcore")) {
        const fs::path extension = entry.path().extension();
        // The public headers show values of facts, not codes.
        if ((extension != ".cc" && extension != ".h") ||
            entry.path().string().find("/include/") != std::string::npos)
            continue;
        const std::string source = cases::read_file(entry.path());
        find_all(source, hyphened, codes);
        find_all(source, made, codes);
        find_all(source, assigned, codes);
    }
    return codes;
}

} // namespace

TEST_CASE("diagnostics page: each wrong example gives its code, each right one nothing") {
    const std::vector<Example> all = examples();
    CHECK(all.size() > 100);
    for (const Example &e : all) {
        cases::Outcome got = run(e);
        std::sort(got.codes.begin(), got.codes.end());
        INFO("docs/diagnostics.md:" << e.line << " " << e.code << " (" << e.info << ")\n"
                                    << got.text.substr(0, 2000));
        CHECK(got.codes == expected_codes(e));
    }
}

TEST_CASE("diagnostics page: each heading has a wrong and a right example") {
    std::set<std::string> wrong;
    std::set<std::string> right;
    for (const Example &e : examples())
        (e.info.find("wrong") != std::string::npos ? wrong : right).insert(e.code);
    CHECK(wrong == right);
}

TEST_CASE("diagnostics page: every code of the sources is on it, and no other") {
    std::set<std::string> named;
    static const std::regex form("(?:^|\n)(?:### |\\| )`([a-z0-9-]+)`");
    const std::string text = page();
    find_all(text, form, named);
    const std::set<std::string> emitted = codes_in_sources();
    for (const std::string &code : emitted) {
        INFO("emitted, and missing on docs/diagnostics.md: " << code);
        CHECK(named.count(code) == 1);
    }
    for (const std::string &code : named) {
        INFO("on docs/diagnostics.md, and never emitted: " << code);
        CHECK(emitted.count(code) == 1);
    }
}
