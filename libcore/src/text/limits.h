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
// The grammar and every later walk recurse once per level; worker threads may have small stacks.
inline constexpr std::size_t nesting = 100;
// A reader mends a handful of faults at a time; more are counted, not shown.
inline constexpr std::size_t faults_per_file = 100;
// Choices become small integers and sets of them bit rows.
inline constexpr std::size_t choices_per_type = 1024;
// Keeps the program of one book within a few megabytes.
inline constexpr std::size_t instructions = 1u << 20;
// How many definitions may stand in one another.
inline constexpr std::size_t definition_depth = 64;
// A job document, its depth and the items in it.
inline constexpr std::size_t job_bytes = 64u << 20;
inline constexpr std::size_t job_nesting = 32;
inline constexpr std::size_t job_items = 1u << 20;

} // namespace groundrule::limits
