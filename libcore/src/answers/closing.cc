#include "answers/closing.h"

#include "report/paragraph.h"

namespace groundrule::answers {

std::string closing_text(const book::Book &book) {
    std::string gaps;
    for (const book::Gap &g : book.gaps)
        gaps += (gaps.empty() ? "Not encoded, so neither passed nor failed: " : ", ") + g.citation;
    std::string out = gaps.empty() ? "" : report::paragraph(gaps + ".", 0);
    for (const std::string &caution : report::cautions())
        out += report::paragraph(caution, 0);
    return out;
}

void close_json(const book::Book &book, report::Json &answer) {
    answer["not_encoded"] = report::not_encoded(book);
    answer["cautions"] = report::cautions();
}

} // namespace groundrule::answers
