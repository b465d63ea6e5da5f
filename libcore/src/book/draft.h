// A book while its layers are put on top of each other: declarations as written, each with the file
// that holds its expressions and the layer that it came from.
#pragma once

#include "book/broken.h"
#include "book/disputes.h"
#include "book/model.h"
#include "syntax/ast.h"

#include <deque>
#include <map>
#include <variant>
#include <vector>

namespace groundrule::book {

struct Written {
    const ast::File *file = nullptr;
    ast::ExprId expr = ast::no_expr;
    std::int32_t layer = 0;
};

struct DraftPart {
    ast::Part part;
    const ast::File *file = nullptr;      // of its condition
    const ast::File *says_file = nullptr; // of its message
    std::int32_t layer = 0;
};

struct DraftCondition {
    ast::Name name;
    Written written;
    Span span;
};

struct DraftLimit {
    ast::RuleLimit limit;
    const ast::File *file = nullptr;
    std::int32_t layer = 0;
};

struct DraftRule {
    // Parts, conditions, limits and the requirement are taken out into what stands below.
    ast::RuleDecl decl;
    const ast::File *file = nullptr; // of its message
    std::int32_t layer = 0;
    Span span;
    std::vector<DraftPart> parts;
    std::vector<DraftCondition> conditions;
    std::vector<DraftLimit> limits;
    Written requirement;
    std::int32_t binds_layer = 0; // that the line `binds` came from
    std::vector<Written> widened; // by which the conditions of its clause are widened too
    Span deleted_span;            // of the change that deleted the rule
    bool deleted = false;
};

struct DraftTable {
    ast::TableDecl decl;
    std::string declared; // its citation as written; decl.citation is that of the edition
    const ast::File *file = nullptr;
    std::int32_t layer = 0;
    Span span;
};

struct DraftList {
    ast::ListDecl decl;
    std::string declared; // likewise
    const ast::File *file = nullptr;
    std::int32_t layer = 0;
    Span span;
};

struct DraftDefine {
    ast::DefineDecl decl;
    const ast::File *file = nullptr;
    std::int32_t layer = 0;
    Span span;
};

struct DraftGroup {
    ast::GroupDecl decl;
    std::int32_t layer = 0;
    Span span;
};

// Tables and lists are changed once they are typed, in this order.
struct FigureChange {
    std::variant<const ast::ChangeDecl *, DraftTable, DraftList> change;
    std::int32_t layer = 0;
    Span span;
};

struct DraftGap {
    Gap gap;
    bool administrative = false;
    bool quoted = false; // its citation is a name, no number
};

struct Draft {
    std::vector<const ast::Decl *> vocabulary; // types, items, implications
    std::vector<DraftGroup> groups;
    std::vector<DraftTable> tables;
    std::vector<DraftList> lists;
    std::vector<DraftDefine> defines;
    std::vector<DraftRule> rules;
    std::vector<FigureChange> figure_changes;
    std::vector<DraftGap> gaps;
    Broken broken;
    std::shared_ptr<ast::File> made = std::make_shared<ast::File>(); // expressions that layers make
    std::deque<ast::Decl> remade; // declarations of the vocabulary that a layer adds to
    std::map<std::string, std::vector<Past>> past;          // earlier texts of what layers changed
    std::map<std::string, Past> gone;                       // what layers deleted
    std::map<std::string, std::shared_ptr<Draft>> editions; // from which layers take text
    std::shared_ptr<Disputes> disputes = std::make_shared<Disputes>();
};

} // namespace groundrule::book
