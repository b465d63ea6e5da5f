// What the terminals of the grammar share while one declaration is parsed: where expressions go,
// and how far parsing came. The farthest failure and what would have been right there make the
// error message; X3's own what() and expectation points name the wrong place.
#pragma once

#include "syntax/ast.h"

#include <string>
#include <string_view>
#include <vector>

namespace groundrule::syntax {

// Classes of what may stand at a place; an error names at most four, by class when there are more.
enum class Expected : std::uint8_t {
    clause,
    connective,
    comparison,
    arithmetic,
    punctuation,
    name,
    value,
    text,
    citation,
    function,
    end
};

struct Fault {
    std::string code;
    std::string message;
    Span span;
    std::string help{};
    Span other{}; // place of the other party, if there is one
    std::string other_is{};
};

struct ParseState {
    const char *base = nullptr; // start of the file's text
    std::uint32_t source = 0;
    ast::File *file = nullptr;

    const char *farthest = nullptr;
    struct Alternative {
        Expected kind;
        std::string_view word;
    };
    std::vector<Alternative> alternatives; // at `farthest`
    std::vector<Fault> faults;             // found in text that parses

    std::uint32_t offset(const char *at) const { return static_cast<std::uint32_t>(at - base); }

    Span span(const char *from, const char *to) const { return {source, offset(from), offset(to)}; }

    void missed(const char *at, Expected kind, std::string_view word) {
        if (farthest != nullptr && at < farthest)
            return;
        if (at != farthest) {
            farthest = at;
            alternatives.clear();
        }
        for (const Alternative &a : alternatives) {
            if (a.kind == kind && a.word == word)
                return;
        }
        alternatives.push_back({kind, word});
    }

    ast::ExprId add(ast::Expr expr) {
        file->exprs.push_back(std::move(expr));
        return static_cast<ast::ExprId>(file->exprs.size() - 1);
    }
};

} // namespace groundrule::syntax
