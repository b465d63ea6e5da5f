// The tree of a rule file as written: names are still words, nothing is checked. Standard library
// only. Expressions live in one arena per file and refer to each other by index, so that no
// destructor and no walk recurses deeper than the nesting bound.
#pragma once

#include "quantity/literal.h"
#include "syntax/ast_words.h"
#include "text/source_text.h"

#include <cstdint>
#include <optional>
#include <string>
#include <utility>
#include <variant>
#include <vector>

namespace groundrule::ast {

using ExprId = std::uint32_t;
inline constexpr ExprId no_expr = 0xffffffff;

// "210.8(A)(2)" or a quoted name such as "NEMA WD 6".
struct Citation {
    std::string text;
    Span span;
    bool quoted = false;
};

enum class ExprKind : std::uint8_t {
    literal, // value
    truth,   // yes, no (flag)
    unknown, // the word `unknown`, in imply only
    name,    // text, or qualifier.text
    text,    // a quoted choice
    logical_and,
    logical_or,
    logical_not,
    compare, // text is one of = at_least at_most more less
    between, // a from b to c
    is,      // a is (not) choice, choice… ; flag: negated; children: a; choices
    add,     // text "+"
    subtract,
    multiply,
    divide,
    conditional, // condition, then, otherwise
    lookup,      // table citation [children].column
    call,        // text(children)
    round,       // text(children a, b)
    quantifier,  // text: any all count sum max min; element, path list, where, body
    search,      // text: smallest largest; element, citation or name of a list, where
    complete,    // completeness of a list
    applies,     // topic
};

struct Expr {
    ExprKind kind = ExprKind::unknown;
    Span span;
    std::string text;
    std::string qualifier; // of a name or of a list path
    bool flag = false;
    Literal literal;
    Citation citation;
    Name element;
    std::vector<Name> choices;
    std::vector<ExprId> children;
    ExprId where = no_expr;
    ExprId body = no_expr;
    std::uint16_t depth = 0; // levels below it
};

struct TypeRef {
    Name name;                 // empty if choices are given in place
    std::vector<Name> choices; // one of (…)
    Span span;
};

struct TypeDecl {
    Name name;
    std::vector<Name> choices;
};

// A named set of choices of one type.
struct GroupDecl {
    Name name;
    Name type;
    std::vector<Name> choices;
    bool replaces = false;
    Name old_text; // digest of what is replaced
    Mark mark = no_mark;
};

struct FieldDecl {
    Name name;
    TypeRef type;
    Name kind; // empty: choice
    std::string question;
};

struct ItemDecl {
    Name name;
    Name parent; // empty: the job itself
    Name list;
    std::string title;
    std::vector<FieldDecl> fields;
};

struct Numbered {
    Citation citation;
    std::vector<Name> editions;
};

struct Parameter {
    Name name;
    TypeRef type;
};

struct ImplyDecl {
    Name item;
    std::string source;
    struct Fact {
        Name field;
        ExprId value = no_expr;
    };
    std::vector<Fact> facts;
};

enum class KeyMatch : std::uint8_t { exact, at_most, at_least };

struct TableKey {
    Name name;
    TypeRef type;
    KeyMatch match = KeyMatch::exact;
};

struct TableColumn {
    Name name; // may be empty if there is one
    TypeRef type;
};

struct TableRow {
    std::string key_line; // head lines: the key's name
    std::vector<Cell> cells;
    Span span;
};

struct TableDecl {
    Citation citation;
    std::string title;
    std::vector<TableColumn> gives;
    std::vector<TableKey> keys;
    std::vector<TableRow> rows; // head lines among them
    std::vector<Numbered> numbered;
    bool replaces = false;
    Name old_text;
    Mark mark = no_mark;
};

struct ListDecl {
    Citation citation;
    std::string title;
    TypeRef type;
    std::vector<Cell> values;
    std::vector<Numbered> numbered;
    bool replaces = false;
    Name old_text;
    Mark mark = no_mark;
};

struct DefineDecl {
    Name item; // of an item's definition; empty for a function
    Name name;
    std::vector<Parameter> parameters;
    TypeRef type;
    std::string title;
    ExprId value = no_expr;
    bool replaces = false;
    Name old_text;
    Mark mark = no_mark;
};

enum class Force : std::uint8_t { shall, should, information, caution };

// A piece of a message: text, or an expression between braces.
struct MessagePiece {
    std::string text;
    ExprId value = no_expr;
};

struct Message {
    std::string text;
    Span span;
};

// What a finding says: one or more lines, cut at their braces once the declaration is parsed.
struct Says {
    std::vector<Message> lines;
    std::vector<MessagePiece> pieces;
};

struct Condition {
    Name name;                  // may be empty
    std::vector<Name> editions; // `in …`; empty: all of the rule's
    ExprId expr = no_expr;
    Span span;
    Mark mark = no_mark;
};

// A listed part, an exception, a path or a permission.
struct Part {
    enum class Kind : std::uint8_t { listed, exception, path, permit } kind = Kind::listed;
    std::string label;          // "(2)", "1", or empty
    std::vector<Name> editions; // likewise
    std::string title;
    bool encoded = true;
    ExprId where = no_expr;
    Says says;
    Span span;
    Mark mark = no_mark;
};

struct RuleLimit {
    Name name;
    std::vector<Name> editions; // likewise
    ExprId value = no_expr;
    bool reading = false;
    std::string text; // of a reading
    Mark mark = no_mark;
};

struct RuleDecl {
    Citation citation;
    std::string title;
    bool clause = false;
    bool replaces = false; // replace rule …
    Name topic;
    Name within;
    std::vector<Name> displaces; // topics
    std::vector<Name> stages;
    std::vector<Name> binds;
    Name item;
    std::vector<RuleLimit> limits;
    std::vector<Condition> conditions;
    std::optional<Force> force;
    Span force_span;
    ExprId requirement = no_expr;
    Span requirement_span;
    Says says;
    std::vector<Part> parts;
    std::vector<Message> notes;
    std::vector<Message> sources;
    std::vector<Numbered> numbered;
    Name old_text; // of replace rule: digest of what is replaced
    Mark mark = no_mark;
    Mark requirement_mark = no_mark;
};

struct TestFact {
    enum class Kind : std::uint8_t { set, another, complete } kind = Kind::set;
    Name item;
    Name field; // of set: the field; of complete: the list
    Cell value;
};

struct TestCase {
    std::vector<TestFact> with;
    std::vector<std::pair<Name, Name>> without; // item, field or list
    Name verdict;
    std::string citation; // empty: not checked
    Span span;
};

struct TestDecl {
    Name topic;
    std::string title;
    std::vector<TestFact> given;
    std::vector<TestCase> cases;
    std::vector<Message> sources;
};

// A clause that stands in the code and is not written out here, or one that asks nothing of an
// installation.
struct GapDecl {
    Citation citation;
    std::string text;
    bool administrative = false;
    Mark mark = no_mark;
};

// A time in which one book applies at a place. `rule` holds when: as conditions on the job, the
// dates among them; nothing meets it.
struct PeriodDecl {
    RuleDecl rule;
    Message book;       // its name; or
    Message hands_over; // to which other code
    Name by;            // the date of the job that decides
    double from = 0;    // day numbers
    double until = 0;   // the first day behind it; 0: open
    std::vector<Name> overlaps;
};

// What a change is about: a rule or one of its listed parts, or all that a section, an article or
// the book holds.
struct Target {
    enum class Reach : std::uint8_t { rule, section, article, book } reach = Reach::rule;
    Citation citation;
    Name topic; // may be empty
};

struct ChangeDecl {
    enum class Kind : std::uint8_t {
        delete_text, // all that the target reaches
        delete_range,
        delete_exception,
        delete_exceptions,
        delete_notes,
        delete_condition,
        delete_row,
        delete_entries,
        change_limit,
        change_condition,
        change_part,
        change_exception,
        change_requirement,
        change_force,
        change_binds,
        change_cell,
        change_entry,
        narrow,
        widen,
        delay,
        sunset,
        add_to_rule,
        add_fields,
        add_rows,
        add_entries,
        take,
        hand_over
    } kind = Kind::delete_text;
    Target target;
    Citation last;          // of a range
    std::string label;      // of an exception or part
    bool exception = false; // narrow, widen, delay, sunset: an exception of the target
    Name name;              // of a limit, reading, condition, item or group
    bool group = false;     // entries: of a group, not of a list
    Name old_text;          // digest of what is changed
    std::vector<Cell> keys; // of a cell or row; entries
    Name column;            // of a changed cell in a table of several columns
    ExprId from = no_expr;  // old and new value of a limit
    ExprId to = no_expr;    // also a condition or requirement
    Cell old_cell;
    Cell new_cell;
    double date = 0; // of a delay or sunset
    Name by;         // the date of the job that decides; empty: that of its permit
    Force old_force = Force::shall;
    Force new_force = Force::shall;
    std::vector<Name> old_binds;
    std::vector<Name> new_binds;
    Name edition;                  // from which is taken
    Message code;                  // to which is handed over
    RuleDecl added;                // clauses of `add to`; a changed part; a changed message
    std::vector<FieldDecl> fields; // of `add to item`
    std::vector<TableRow> rows;    // of `add to table`
};

enum class DeclKind : std::uint8_t {
    vocabulary,
    edition,
    part_of,
    adoption,
    printed,
    amendment,
    type,
    group,
    item,
    imply,
    remedy,
    table,
    list,
    define,
    rule,
    test,
    gap,
    change,
    period
};

struct Header {
    std::string title;
    std::string publisher;
    std::string authority;
    std::string effective;   // the first day in force
    std::string until;       // the first day no longer in force; empty: not said
    std::string interim;     // which interim amendments are taken in: none, all, a date; or empty
    std::string conflict;    // local, stricter, or empty
    std::vector<Name> names; // the edition, the editions of a part, the amendment, or the layers
    Name base;               // of an amendment
};

struct Decl {
    DeclKind kind = DeclKind::rule;
    Span span;
    Span head;                  // the first line
    std::vector<Name> editions; // `in …`; empty: all of the file's
    std::variant<std::monostate, Header, TypeDecl, GroupDecl, ItemDecl, ImplyDecl, RemedyDecl,
                 TableDecl, ListDecl, DefineDecl, RuleDecl, TestDecl, GapDecl, ChangeDecl,
                 PeriodDecl>
        body;
};

struct File {
    std::uint32_t source = Span::no_file;
    std::vector<Expr> exprs;
    std::vector<Decl> decls;
    std::vector<Span> broken;   // declarations that could not be read
    bool header_broken = false; // the first of them all is one
};

} // namespace groundrule::ast
