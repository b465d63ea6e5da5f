// The kinds of changes of an amendment; amend.cc sends each to its own.
#pragma once

#include "book/targets.h"

namespace groundrule::book {

void delete_text(const Applying &a);  // rules, parts, sections, articles
void delete_below(const Applying &a); // ranges, exceptions, conditions, notes
void change_text(const Applying &a);  // one text of a rule
void change_scope(const Applying &a); // narrow, widen, delay, sunset, hand_over
void add_text(const Applying &a);     // to rules and items
void change_group(const Applying &a); // entries of a group
void take_text(const Applying &a);    // from another edition

} // namespace groundrule::book
