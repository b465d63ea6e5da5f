// ISO 8601 calendar dates.
#include "quantity/date.h"

#include <charconv>
#include <chrono>
#include <cstdio>

namespace groundrule {

std::optional<int> date_from_text(std::string_view iso) {
    if (iso.size() != 10 || iso[4] != '-' || iso[7] != '-' || iso[0] == '-')
        return std::nullopt;
    int year = 0;
    unsigned month = 0;
    unsigned day = 0;
    const auto whole = [&](std::size_t at, std::size_t length, auto &number) {
        const char *end = iso.data() + at + length;
        const auto [stop, fault] = std::from_chars(iso.data() + at, end, number);
        return fault == std::errc{} && stop == end;
    };
    if (!whole(0, 4, year) || !whole(5, 2, month) || !whole(8, 2, day))
        return std::nullopt;
    const std::chrono::year_month_day date{std::chrono::year(year), std::chrono::month(month),
                                           std::chrono::day(day)};
    if (!date.ok())
        return std::nullopt;
    return std::chrono::sys_days(date).time_since_epoch().count();
}

std::string date_text(int days) {
    const std::chrono::year_month_day date{std::chrono::sys_days(std::chrono::days(days))};
    char text[16];
    std::snprintf(text, sizeof text, "%04d-%02u-%02u", static_cast<int>(date.year()),
                  static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()));
    return text;
}

} // namespace groundrule
