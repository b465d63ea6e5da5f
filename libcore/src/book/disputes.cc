#include "book/disputes.h"

#include "book/model.h"

#include <algorithm>

namespace groundrule::book {

namespace {

const std::string &layer_name(const Book &book, std::int32_t layer) {
    return book.layers[static_cast<std::size_t>(layer)].name;
}

Outcome by_policy(Disputes &disputes, const Claim &claim, const Book &book,
                  Diagnostics &diagnostics) {
    const std::string &policy = disputes.policy[static_cast<std::size_t>(claim.layer)];
    if (policy == "local")
        return Outcome::put;
    const std::pair place{claim.change.file, claim.change.begin};
    if (policy == "stricter") {
        const auto decided = disputes.put.find(place);
        if (decided != disputes.put.end())
            return decided->second ? Outcome::put : Outcome::keep;
        disputes.open.push_back({place, claim.what, claim.change, claim.stands_span});
        return Outcome::keep;
    }
    Diagnostic &d =
        diagnostics.error("layers-disagree", claim.said_span,
                          claim.what + " was changed by " + layer_name(book, claim.stands_layer) +
                              " below, and both have a say in it");
    d.help = "name the text that " + layer_name(book, claim.stands_layer) +
             " left, or say in the header which wins: `conflict local` or `conflict stricter`";
    d.other = claim.stands_span;
    d.other_is = "it was changed here";
    return Outcome::refuse;
}

} // namespace

Outcome settle(Disputes &disputes, const Claim &claim, const Book &book, Diagnostics &diagnostics) {
    if (claim.said == claim.stands)
        return Outcome::put;
    const bool stood_before = std::any_of(claim.past->begin(), claim.past->end(),
                                          [&](const Past &p) { return p.text == claim.said; });
    if (stood_before && claim.stands_layer != claim.layer)
        return by_policy(disputes, claim, book, diagnostics);
    Diagnostic &d = diagnostics.error(
        "wrong-old-value", claim.said_span,
        claim.what + (claim.digests ? " has another text here" : " has another value here"));
    if (!claim.stands_as.empty())
        d.help = "it stands as: " + claim.stands_as;
    if (claim.digests)
        d.help = "the digest of the text that stands is " + claim.stands;
    d.other = claim.stands_span;
    d.other_is = "it stands here";
    return Outcome::refuse;
}

} // namespace groundrule::book
