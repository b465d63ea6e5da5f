// The effective book: an edition with its layers applied, names resolved and types checked.
// Immutable once opened. Expressions are typed nodes in one arena; a field or definition names the
// item whose row it reads, which is always the row at hand or one above it in the job's tree.
#pragma once

#include "book/type.h"
#include "syntax/ast.h"
#include "text/diagnostics.h"
#include "text/late_text.h"

#include <memory>
#include <string>
#include <utility>
#include <vector>

namespace groundrule::book {

using NodeId = std::uint32_t;
inline constexpr NodeId no_node = 0xffffffff;

enum class NodeOp : std::uint8_t {
    constant,
    unknown,     // in an imply
    not_encoded, // an exception, path or permission that exists but is not written out
    field,       // index: field of `item`
    define,      // index: definition; children: arguments
    parameter,   // index
    element,     // index: nesting depth of a search's element
    limit,       // index: limit of the rule; value
    logical_and,
    logical_or,
    logical_not,
    equal,
    at_least,
    at_most,
    more_than,
    less_than,
    in_set, // set: choices
    add,
    subtract,
    multiply,
    divide,
    larger,
    smaller,
    round_down,
    round_up,
    round_nearest,
    conditional,
    lookup,   // index: table; column
    smallest, // index: list; element; child 0: test (or none)
    largest,
    any, // item: whose list; index: the list's item type; children: where, body (either may be
         // absent)
    all,
    count,
    sum,
    max,
    min,
    complete, // item, index as above
    applies,  // index: rule
};

struct Node {
    NodeOp op = NodeOp::constant;
    Type type;
    Span span;
    std::int32_t item = -1;
    std::int32_t index = -1;
    std::int32_t column = 0;
    double value = 0; // constants: base unit, size index, choice index, day, 0 or 1
    NodeId where = no_node;
    NodeId body = no_node;
    std::vector<NodeId> children;
    std::vector<std::uint8_t> set; // in_set: one flag a choice
    std::string text;              // not_encoded: what exists
};

struct ChoiceType {
    std::string name; // "receptacle.gfci" for a type given in place
    std::vector<std::string> choices;
};

// A named set of choices of one type.
struct Group {
    std::string name;
    std::int32_t choices = -1;     // index of its ChoiceType
    std::vector<std::uint8_t> set; // one flag a choice
    std::int32_t layer = 0;
    Span span;
    bool read = false; // some condition asks for it
};

enum class FieldKind : std::uint8_t { choice, look_up, measure, judgement, authority };

struct Field {
    std::string name;
    Type type;
    FieldKind kind = FieldKind::choice;
    std::string question;
    std::uint32_t slot = 0;      // index over all fields of the book
    std::vector<NodeId> implied; // values that other facts of the item imply
    std::vector<std::string> implied_by;
    Span span;
};

struct Item {
    std::string name;
    std::int32_t parent = -1;
    std::string list; // under the parent
    std::string title;
    std::vector<Field> fields; // field 0 is `work`
    std::vector<std::int32_t> children;
    Span span;
};

// Values that a fact may be changed to, to make a job pass. No verdict depends on it.
struct Remedy {
    struct Carried {
        std::int32_t item = -1;
        std::int32_t field = -1;
        std::int32_t with = -1; // field of the remedy's item; what says the same changes with it
        std::vector<std::int32_t> keeps;
    };
    std::string title;
    std::int32_t item = -1;
    std::int32_t field = -1;
    std::vector<double> values;                        // in the order in which they are tried
    std::vector<std::pair<std::int32_t, double>> also; // fields of the item that are then so
    std::vector<std::int32_t> without;                 // fields of the item that are taken back
    std::vector<std::int32_t> keeps; // fields of the item that stay as these implied them
    std::vector<Carried> carried;
    Span span;
};

struct Key {
    std::string name;
    Type type;
    ast::KeyMatch match = ast::KeyMatch::exact;
    std::vector<double> values; // ascending, on the grid
    bool across = false;        // it has a head line
    std::vector<Span> places{}; // where each value stands first
};

struct Table {
    std::string declared; // citation by which expressions call it
    std::string name;     // citation in this edition, or quoted name
    std::string title;
    std::vector<Key> keys;
    std::vector<std::string> columns;
    std::vector<Type> types;           // of columns
    std::vector<std::uint32_t> counts; // number of values of each key
    std::vector<double> cells;         // dense: keys in order, then columns; NaN where empty
    std::vector<std::int32_t> layers;  // layer of each cell
    std::int32_t layer = 0;            // of the table as a whole
    std::vector<Span> places;          // of each cell; nowhere if it is not written
    Span span;
};

struct List {
    std::string declared; // likewise
    std::string name;
    std::string title;
    Type type;
    std::vector<double> values;       // ascending
    std::vector<std::int32_t> layers; // of each value
    std::int32_t layer = 0;           // of the list as a whole
    std::vector<Span> places;         // of each value
    Span span;
};

struct Define {
    std::int32_t item = -1; // -1: a function
    std::string name;
    std::string title;
    std::vector<std::string> parameter_names;
    std::vector<Type> parameters;
    Type type;
    NodeId value = no_node;
    std::int32_t layer = 0;
    Span span;
};

struct Condition {
    std::string name;
    NodeId node = no_node;
    std::int32_t layer = 0;
};

struct MessagePart {
    std::string text;
    NodeId value = no_node; // or this
};

struct Part {
    ast::Part::Kind kind = ast::Part::Kind::listed;
    std::string label;
    std::string title;
    bool encoded = true;
    NodeId node = no_node; // the condition; for what is not encoded, the condition and unknown
    std::vector<MessagePart> says;
    std::string displaced_by; // an exception that another rule makes: its citation
    std::int32_t layer = 0;
    Span span;
};

struct Limit {
    std::string name;
    Type type;
    double value = 0;
    bool reading = false;
    std::string text;
    std::int32_t layer = 0;
    Span span; // of its value
};

struct Rule {
    std::string citation;
    std::string title;
    std::string topic;
    ast::Force force = ast::Force::shall;
    std::vector<std::string> stages;
    std::vector<std::uint8_t> binds; // one flag for each kind of work
    std::int32_t item = 0;
    std::vector<Limit> limits;
    std::vector<Condition> conditions;
    std::vector<Part> listed;
    std::vector<Part> exceptions;
    std::vector<Part> paths;   // of which one must hold
    std::vector<Part> permits; // into one of which the item must fit
    NodeId requirement = no_node;
    std::int32_t requirement_layer = 0;
    std::vector<MessagePart> says;
    std::vector<std::string> notes;
    std::vector<std::string> sources;
    std::int32_t layer = 0;
    Span span;
};

// What stands in the code and is not written out here, or asks nothing of an installation.
struct Gap {
    std::string citation;
    std::string text;
    std::int32_t layer = 0;
};

// What a layer did to the text below it.
struct LayerChange {
    std::int32_t layer = 0;
    std::string what; // "limit spacing of rule 334.30 (nm_cable_supports)"
    std::string from; // empty: nothing stood there
    std::string to;   // empty: nothing stands there now
    Span span;
    std::vector<std::string> topics; // of the rules whose demands it changes; or
    std::string shared;              // what rules may rest on: "list 240.6(A)"
};

struct Draft;

struct Layer {
    std::string name;
    std::string title;
    std::string publisher; // of an edition; the authority of an amendment
    std::string effective; // ISO date or empty: the first day on which it is in force
    std::string until;     // likewise: the first day on which it no longer is
};

struct Book {
    std::string name; // "nec-2017+tia-17-2": the edition and the layers in force
    std::shared_ptr<LateText> digest = std::make_shared<LateText>(); // asked for by digest_of
    bool adoption = false; // of a place: its rules are periods, see book/adoption.h
    std::string on;        // ISO date that it was opened for; empty: all layers are in force
    std::vector<Layer> layers;
    std::vector<Layer> not_in_force; // asked for, and left out for that date
    std::vector<ChoiceType> choice_types;
    std::vector<Group> groups;
    std::vector<Item> items; // 0 is the job
    std::vector<Remedy> remedies;
    std::vector<Table> tables;
    std::vector<List> lists;
    std::vector<Define> defines;
    std::vector<Rule> rules; // in order of citation
    std::vector<Gap> gaps;   // likewise
    std::vector<Gap> administrative;
    std::vector<LayerChange> changes;
    std::shared_ptr<const Draft> draft; // what the book was built from, as written
    std::vector<Node> nodes;
    std::uint32_t slot_count = 0;
    Sources sources;
    std::vector<ast::File> files; // kept for the tests beside the rules
};

inline constexpr const char *work_names[] = {"new", "altered", "replaced", "existing"};

// Order of a code book: numbers as numbers, then parts; names that are no clause number last.
bool citation_less(const std::string &a, const std::string &b);

// Text of a value of a type: "50 A", "8 AWG", "garage", "yes".
std::string value_text(const Book &book, const Type &type, double value);
std::string type_name(const std::vector<ChoiceType> &choices, const Type &type);

// -1 if there is none.
std::int32_t find_item(const Book &book, const std::string &name);
std::int32_t find_field(const Item &item, const std::string &name);
bool is_above_or_same(const Book &book, std::int32_t above, std::int32_t item);

} // namespace groundrule::book
