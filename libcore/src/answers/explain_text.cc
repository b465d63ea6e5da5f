// Explanations as text.
#include "answers/closing.h"
#include "answers/story.h"
#include "report/paragraph.h"

namespace groundrule::answers {

namespace {

std::string line_text(const StoryLine &l) {
    std::string out = l.outcome + "  ";
    if (!l.line->label.empty())
        out += l.line->label + ": ";
    if (!l.line->title.empty())
        out += l.line->title + (l.line->encoded ? "; where " : "; ");
    return out + (l.line->encoded
                      ? l.line->words
                      : "not written out in this book, so it may hold where " + l.line->words);
}

std::string one(const Explanation &e) {
    const report::Finding &f = e.finding;
    const book::Rule &rule = e.book->rules[f.rule];
    std::string out =
        f.citation + "  " + rule.title + ": " + report::verdict_name(f.verdict) + "\n";
    out += "  at " + (f.item_id.empty() ? f.item : f.item_id + " (" + f.item + ")") + "\n";
    if (!f.says.empty())
        out += report::paragraph(f.says, 2);
    out += report::paragraph("Decided by " + f.decided_by + "; text of " + f.layer, 2);
    const Story s = story(e);
    for (const StoryPart &p : s.parts) {
        out += std::string("  ") + p.heading + ":\n";
        for (const StoryLine &l : p.lines) {
            out += report::paragraph(line_text(l), 9, 4);
            if (!l.figures.empty())
                out += report::paragraph(l.figures, 9);
            if (l.line->layer != f.layer)
                out += "         text of " + l.line->layer + "\n";
        }
    }
    if (!s.values.empty())
        out += "  Values:\n";
    for (const StoryValue &v : s.values) {
        const bool elsewhere = !v.step->item.empty() && v.step->item != f.item;
        out += report::paragraph(
            v.step->name + " = " + v.value + (elsewhere ? ", of " + v.step->item : ""), 8, 4);
        out += report::paragraph(v.from + (v.layer.empty() ? "" : "; text of " + v.layer), 8);
        if (!v.words.empty())
            out += report::paragraph("= " + v.words, 8);
        if (!v.figures.empty())
            out += report::paragraph(v.figures, 8);
    }
    for (const report::Missing &m : f.missing)
        out += report::paragraph(
            "? " + m.question + (m.fact.empty() ? "" : " (" + m.fact + ", " + m.item + ")"), 4, 2);
    for (const std::string &a : f.assumed)
        out += report::paragraph("rests on the assumption " + a, 2);
    for (const std::string &n : rule.notes)
        out += report::paragraph("Note: " + n, 2);
    return out;
}

} // namespace

std::string explained_text(const std::vector<Explanation> &explanations) {
    if (explanations.empty())
        return "Nothing to explain: nothing is violated, and no rule that applies is open.\n";
    std::string out;
    for (const Explanation &e : explanations)
        out += one(e) + "\n";
    return out + closing_text(*explanations.front().book);
}

} // namespace groundrule::answers
