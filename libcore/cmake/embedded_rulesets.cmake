# Turns every file rulesets/**/*.rules into a source of room `book`, so that a host needs no files.
# Sets embedded_rulesets_source.

set(rulesets_dir "${PROJECT_SOURCE_DIR}/rulesets")
set(embedded_rulesets_source "${CMAKE_CURRENT_BINARY_DIR}/embedded_rulesets.cc")

file(GLOB_RECURSE ruleset_paths CONFIGURE_DEPENDS
  RELATIVE "${rulesets_dir}" "${rulesets_dir}/*.rules")
list(SORT ruleset_paths COMPARE STRING)

# The list is a file of its own, rewritten only when it changes: a file that goes away makes the
# source stale just as one that is edited.
list(JOIN ruleset_paths "\n" ruleset_lines)
file(CONFIGURE OUTPUT embedded_rulesets.txt CONTENT "${ruleset_lines}\n" @ONLY)

set(ruleset_files "")
foreach(path IN LISTS ruleset_paths)
  list(APPEND ruleset_files "${rulesets_dir}/${path}")
endforeach()

add_custom_command(
  OUTPUT "${embedded_rulesets_source}"
  COMMAND groundrule_embed "${rulesets_dir}"
    "${CMAKE_CURRENT_BINARY_DIR}/embedded_rulesets.txt" "${embedded_rulesets_source}"
  DEPENDS groundrule_embed
    "${CMAKE_CURRENT_BINARY_DIR}/embedded_rulesets.txt"
    ${ruleset_files}
  COMMENT "Embedding the rule sets"
  VERBATIM)
