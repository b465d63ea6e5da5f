// A book while its layers are put on top of each other: declarations as written, each with the file
// that holds its expressions and the layer that it came from.
#pragma once

#include "book/broken.h"
#include "book/model.h"
#include "syntax/ast.h"

#include <vector>

namespace groundrule::book {

struct Written {
    const ast::File *file = nullptr;
    ast::ExprId expr = ast::no_expr;
    std::int32_t layer = 0;
};

struct DraftPart {
    ast::Part part;
    const ast::File *file = nullptr;
    std::int32_t layer = 0;
};

struct DraftCondition {
    ast::Name name;
    Written written;
};

struct DraftLimit {
    ast::RuleLimit limit;
    const ast::File *file = nullptr;
    std::int32_t layer = 0;
};

struct DraftRule {
    ast::RuleDecl decl; // parts, conditions and limits are taken out into the vectors below
    const ast::File *file = nullptr;
    std::int32_t layer = 0;
    Span span;
    std::vector<DraftPart> parts;
    std::vector<DraftCondition> conditions;
    std::vector<DraftLimit> limits;
    double delayed_until = 0; // day number; 0: in force
    std::int32_t delayed_by = 0;
    Span deleted_span; // of the change that deleted the rule
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

struct CellChange {
    const ast::ChangeDecl *change = nullptr;
    std::int32_t layer = 0;
    Span span;
};

struct Draft {
    std::vector<const ast::Decl *> vocabulary; // types, items, implications
    std::vector<DraftGroup> groups;
    std::vector<DraftTable> tables;
    std::vector<DraftList> lists;
    std::vector<DraftDefine> defines;
    std::vector<DraftRule> rules;
    std::vector<CellChange> cell_changes;
    std::vector<Gap> gaps;
    Broken broken;
};

} // namespace groundrule::book
