// What the terminals of the grammar share while one declaration is parsed: where expressions go,
// and how far parsing came. The farthest failure and what would have been right there make the
// error message; X3's own what() and expectation points name the wrong place.
#pragma once

#include "syntax/ast.h"
#include "text/limits.h"

#include <algorithm>
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

    // Only a declaration that can't be read is looked at again for what was expected where: keeping
    // account of it costs a sixth of the reading.
    bool notes_misses = false;
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
        if (!notes_misses || (farthest != nullptr && at < farthest))
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

    // A chain such as a + b + c nests to the left, without a bracket that could be counted before.
    void put_below(ast::Expr &above, ast::ExprId below) {
        if (below == ast::no_expr)
            return;
        const auto levels = static_cast<std::uint16_t>(file->exprs[below].depth + 1);
        above.depth = std::max(above.depth, levels);
        if (levels == limits::nesting + 1)
            faults.push_back({"too-deep",
                              "operators and what they join nest deeper than " +
                                  std::to_string(limits::nesting) +
                                  " here; each + - * / of a chain is one level",
                              file->exprs[below].span});
    }

    ast::ExprId add(ast::Expr &&expr) {
        for (const ast::ExprId child : expr.children)
            put_below(expr, child);
        put_below(expr, expr.where);
        put_below(expr, expr.body);
        file->exprs.push_back(std::move(expr));
        return static_cast<ast::ExprId>(file->exprs.size() - 1);
    }
};

} // namespace groundrule::syntax
