// SHA-256 (FIPS 180-4). Here only to name a book's meaning; nothing secret passes through it.
#pragma once

#include <string>
#include <string_view>

namespace groundrule::book {

std::string sha256_hex(std::string_view bytes);

} // namespace groundrule::book
