// Opening small books of invented text. The facts and the edition beside the wrong files are always
// there, unless the text brings an edition of its own.
#pragma once

#include "book/open.h"

#include <filesystem>
#include <string>
#include <vector>

namespace groundrule::cases {

std::filesystem::path source_dir();
std::string read_file(const std::filesystem::path &path);

struct Outcome {
    std::string text;               // as a reader sees it
    std::vector<std::string> codes; // in order, each once
};

// The faults of a text when the book that it belongs to is looked over. The book is told by its
// header, or by a first line `# book: …`; a line `# warnings: CODE` asks for warnings too.
Outcome faults_in(const std::string &name, const std::string &text);

// The faults of a job for the trial edition, contradictions among them.
Outcome faults_in_job(const std::string &json);

} // namespace groundrule::cases
