// Explanations as a page: headings, lists and tables that a screen reader can follow, outcomes in
// words and not by colour alone, and a layout that prints.
#include "answers/story.h"
#include "book/digest.h"

namespace groundrule::answers {

namespace {

constexpr const char *style =
    "body{font:1rem/1.5 Georgia,serif;color:#1a1a1a;background:#fff;max-width:52rem;"
    "margin:2rem auto;padding:0 1rem}"
    "h1{font-size:1.5rem}h2{font-size:1.2rem;border-top:2px solid #1a1a1a;padding-top:.5rem}"
    "h3{font-size:1rem;margin-bottom:.25rem}"
    "table{border-collapse:collapse;width:100%}"
    "th,td{text-align:left;vertical-align:top;padding:.25rem .75rem .25rem 0;"
    "border-bottom:1px solid #bbb}"
    ".figures{font-family:ui-monospace,monospace;font-size:.9rem}"
    ".quiet{color:#444;font-size:.9rem}"
    ".verdict{font-weight:bold;border:2px solid;padding:0 .4rem;white-space:nowrap}"
    ".violates{color:#8f1010}.complies{color:#0b5c2d}.undetermined{color:#6b4a00}"
    "@media print{body{margin:0;max-width:none}article,tr{break-inside:avoid}"
    "h2,h3{break-after:avoid}}";

std::string escaped(const std::string &text) {
    std::string out;
    for (const char c : text) {
        switch (c) {
        case '&':
            out += "&amp;";
            break;
        case '<':
            out += "&lt;";
            break;
        case '>':
            out += "&gt;";
            break;
        case '"':
            out += "&quot;";
            break;
        default:
            out += c;
        }
    }
    return out;
}

std::string tagged(const char *tag, const std::string &text) {
    return std::string("<") + tag + ">" + escaped(text) + "</" + tag + ">";
}

std::string quiet(const std::string &text) {
    return text.empty() ? "" : "<div class=\"quiet\">" + escaped(text) + "</div>";
}

std::string figures_of(const std::string &text) {
    return text.empty() ? "" : "<div class=\"figures\">" + escaped(text) + "</div>";
}

std::string part_html(const StoryPart &p) {
    std::string out = tagged("h3", p.heading) + "<ul>";
    for (const StoryLine &l : p.lines) {
        std::string head = l.line->label;
        if (!l.line->title.empty())
            head += (head.empty() ? "" : ": ") + l.line->title;
        out += "<li><strong>" + escaped(l.outcome) + "</strong> " + escaped(head) +
               (head.empty() ? "" : ": ") + escaped(l.line->words) +
               (l.line->encoded ? "" : " (not written out in this book)") + figures_of(l.figures) +
               quiet("text of " + l.line->layer) + "</li>";
    }
    return out + "</ul>\n";
}

std::string values_html(const Story &s, const std::string &item) {
    if (s.values.empty())
        return {};
    std::string out = "<table><caption>Values</caption><thead><tr><th scope=\"col\">Name</th>"
                      "<th scope=\"col\">Value</th><th scope=\"col\">Where it is from</th></tr>"
                      "</thead><tbody>\n";
    for (const StoryValue &v : s.values) {
        const bool elsewhere = !v.step->item.empty() && v.step->item != item;
        out += "<tr><th scope=\"row\">" + escaped(v.step->name) +
               quiet(elsewhere ? v.step->item : "") + "</th>" + tagged("td", v.value) + "<td>" +
               escaped(v.from) + quiet(v.words) + figures_of(v.figures) +
               quiet(v.layer.empty() ? "" : "text of " + v.layer) + "</td></tr>\n";
    }
    return out + "</tbody></table>\n";
}

std::string one(const Explanation &e) {
    const report::Finding &f = e.finding;
    const book::Rule &rule = e.book->rules[f.rule];
    const std::string verdict = report::verdict_name(f.verdict);
    const Story s = story(e);
    std::string out = "<article>\n<h2>" + escaped(f.citation + "  " + rule.title) + "</h2>\n<p>" +
                      "<span class=\"verdict " + verdict + "\">" + escaped(verdict) + "</span> " +
                      escaped(f.item_id.empty() ? f.item : f.item_id + " (" + f.item + ")") +
                      "</p>\n";
    if (!f.says.empty())
        out += tagged("p", f.says) + "\n";
    out += quiet("Decided by " + f.decided_by + "; text of " + f.layer);
    for (const StoryPart &p : s.parts)
        out += part_html(p);
    out += values_html(s, f.item);
    for (const report::Missing &m : f.missing)
        out += tagged("p", "To find out: " + m.question);
    for (const std::string &a : f.assumed)
        out += tagged("p", "Rests on the assumption " + a);
    for (const std::string &n : rule.notes)
        out += quiet("Note: " + n);
    return out + "</article>\n";
}

} // namespace

std::string explained_html(const book::Book &book, const std::vector<Explanation> &explanations) {
    std::string out =
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
        "<meta name=\"viewport\" content=\"width=device-width\">\n<title>Why: " +
        escaped(book.name) + "</title>\n<style>" + style +
        "</style>\n</head>\n<body>\n<main>\n<h1>Why the findings are as they are</h1>\n" +
        tagged("p", "Book " + book.name + ", digest " + book::digest_of(book)) + "\n";
    for (const Explanation &e : explanations)
        out += one(e);
    if (explanations.empty())
        out += tagged("p", "Nothing is violated, and no rule that applies is open.");
    out += "</main>\n<footer>\n";
    if (!book.gaps.empty()) {
        out += "<h2>Not encoded, so neither passed nor failed</h2>\n<ul>\n";
        for (const book::Gap &g : book.gaps)
            out += tagged("li", g.citation + "  " + g.text) + "\n";
        out += "</ul>\n";
    }
    for (const std::string &caution : report::cautions())
        out += tagged("p", caution) + "\n";
    return out + "</footer>\n</body>\n</html>\n";
}

} // namespace groundrule::answers
