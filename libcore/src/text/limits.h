// Every bound on what a file, a book or a job may hold, with the reason beside the number.
// Text beyond a bound is answered with an error that names the bound; nothing is cut silently.
#pragma once

#include <cstddef>

namespace groundrule::limits {

// A rule file larger than this is not text that anybody maintains.
inline constexpr std::size_t source_bytes = 16u << 20;
// One declaration: 64 kB holds a rule with hundreds of listed parts; a table may be larger.
inline constexpr std::size_t declaration_bytes = 64u << 10;
inline constexpr std::size_t table_bytes = 1u << 20;
// A tree takes some forty times the bytes of its text, so a file is bounded in what it holds too.
// The longest shipped file has some fifty declarations and three thousand operands and operators.
inline constexpr std::size_t declarations_per_file = 4096;
inline constexpr std::size_t expressions_per_file = 1u << 17;
// A table is a dense array: few rows with many keys may span more cells than memory has.
inline constexpr std::size_t table_cells = 1u << 18;
// The grammar and every later walk recurse once per level; worker threads may have small stacks.
inline constexpr std::size_t nesting = 100;
// A reader mends a handful of faults at a time; more are counted, not shown.
inline constexpr std::size_t faults_per_file = 100;
// Choices become small integers and sets of them bit rows.
inline constexpr std::size_t choices_per_type = 1024;
// Keeps the program of one book within a few megabytes.
inline constexpr std::size_t instructions = 1u << 20;
// Functions of functions of functions: equal instructions are one, but finding them takes time.
inline constexpr std::size_t lowered_nodes = 1u << 22;
// Levels of all definitions that stand in one another, taken together.
inline constexpr std::size_t lowering_depth = 1024;
// How many definitions may stand in one another.
inline constexpr std::size_t definition_depth = 64;
// Texts of a book over which layers are at odds and the stricter one wins: each opens the book
// twice.
inline constexpr std::size_t disputes = 16;
// A job document, its depth and the items in it: a house has some two hundred, and each takes up to
// two kilobytes.
inline constexpr std::size_t job_bytes = 64u << 20;
inline constexpr std::size_t job_nesting = 32;
inline constexpr std::size_t job_items = 1u << 14;
// How many missing facts, and how many assumptions, one finding names: a person asks for a handful
// at a time, and the findings of a large open list would otherwise each repeat the whole list.
inline constexpr std::size_t lacks_per_finding = 32;

} // namespace groundrule::limits
