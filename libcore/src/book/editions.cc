// Walks over every place where an edition is named.
#include "book/editions.h"

#include "text/nearest.h"

#include <algorithm>

namespace groundrule::book {

namespace {

class Checker {
  public:
    Checker(std::vector<std::string> known, Diagnostics &diagnostics)
        : known_(std::move(known)), diagnostics_(diagnostics) {}

    void file(const ast::File &file) {
        for (const ast::Decl &decl : file.decls) {
            names(decl.editions);
            if (decl.kind == ast::DeclKind::part_of)
                names(std::get<ast::Header>(decl.body).names);
            else if (const auto *rule = std::get_if<ast::RuleDecl>(&decl.body))
                lines(*rule);
            else if (const auto *table = std::get_if<ast::TableDecl>(&decl.body))
                numbered(table->numbered);
            else if (const auto *list = std::get_if<ast::ListDecl>(&decl.body))
                numbered(list->numbered);
            else if (const auto *change = std::get_if<ast::ChangeDecl>(&decl.body))
                lines(change->added);
        }
    }

  private:
    void lines(const ast::RuleDecl &rule) {
        numbered(rule.numbered);
        for (const ast::Part &p : rule.parts)
            names(p.editions);
        for (const ast::Condition &c : rule.conditions)
            names(c.editions);
        for (const ast::RuleLimit &l : rule.limits)
            names(l.editions);
    }

    void numbered(const std::vector<ast::Numbered> &list) {
        for (const ast::Numbered &n : list)
            names(n.editions);
    }

    void names(const std::vector<ast::Name> &list) {
        for (const ast::Name &n : list) {
            if (std::find(known_.begin(), known_.end(), n.text) != known_.end())
                continue;
            const std::string near = nearest(n.text, known_);
            Diagnostic &d = diagnostics_.error("unknown-name", n.span,
                                               "`" + n.text + "` is no edition known here");
            if (!near.empty()) {
                d.help = "did you mean `" + near + "`?";
                continue;
            }
            for (const std::string &k : known_)
                d.help += (d.help.empty() ? "known: " : ", ") + k;
        }
    }

    std::vector<std::string> known_;
    Diagnostics &diagnostics_;
};

} // namespace

void check_editions(const Book &book, const std::vector<std::string> &shipped,
                    Diagnostics &diagnostics) {
    std::vector<std::string> known = shipped;
    for (const ast::File &file : book.files) {
        if (file.header_broken)
            return; // it may have been the edition's
        for (const ast::Decl &decl : file.decls) {
            if (decl.kind == ast::DeclKind::edition)
                known.push_back(std::get<ast::Header>(decl.body).names.front().text);
        }
    }
    std::sort(known.begin(), known.end());
    known.erase(std::unique(known.begin(), known.end()), known.end());
    Checker checker(std::move(known), diagnostics);
    for (const ast::File &file : book.files)
        checker.file(file);
}

} // namespace groundrule::book
