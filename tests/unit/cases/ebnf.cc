#include "cases/ebnf.h"

#include <cctype>
#include <sstream>
#include <stdexcept>

namespace groundrule::cases {

namespace {

bool is_name_char(char c) {
    return std::isalnum(static_cast<unsigned char>(c)) != 0 || c == '_';
}

std::string blocks_of(const std::string &page) {
    std::istringstream lines(page);
    std::string out;
    bool inside = false;
    for (std::string line; std::getline(lines, line);) {
        if (line.starts_with("```"))
            inside = line == "```ebnf";
        else if (inside)
            out += line + "\n";
    }
    return out;
}

} // namespace

Ebnf::Ebnf(const std::string &page) : text_(blocks_of(page)) {
    next();
    while (!token_.empty()) {
        const std::string name = token_;
        next();
        if (token_ != "=")
            throw std::runtime_error("= expected behind " + name);
        next();
        const std::size_t body = alternatives();
        if (token_ != ";" || !rules_.emplace(name, body).second)
            throw std::runtime_error("the rule " + name + " does not end, or stands twice");
        next();
    }
    for (const Term &t : terms_) {
        if (t.kind == Term::Kind::rule && rules_.count(t.text) == 0)
            throw std::runtime_error("there is no rule " + t.text);
    }
}

std::size_t Ebnf::add(Term term) {
    terms_.push_back(std::move(term));
    return terms_.size() - 1;
}

void Ebnf::next() {
    while (at_ < text_.size() && std::isspace(static_cast<unsigned char>(text_[at_])) != 0)
        ++at_;
    std::size_t end = at_;
    if (end < text_.size() && text_[end] == '"')
        end = text_.find('"', end + 1) + 1;
    else if (end < text_.size() && is_name_char(text_[end]))
        while (end < text_.size() && is_name_char(text_[end]))
            ++end;
    else if (end < text_.size())
        ++end;
    token_ = text_.substr(at_, end - at_);
    at_ = end;
}

std::size_t Ebnf::alternatives() {
    Term term;
    term.kind = Term::Kind::choice;
    term.children.push_back(sequence());
    while (token_ == "|") {
        next();
        term.children.push_back(sequence());
    }
    return term.children.size() == 1 ? term.children.front() : add(std::move(term));
}

std::size_t Ebnf::sequence() {
    Term term;
    while (!token_.empty() && std::string("|)]};").find(token_) == std::string::npos)
        term.children.push_back(factor());
    return term.children.size() == 1 ? term.children.front() : add(std::move(term));
}

std::size_t Ebnf::factor() {
    Term term;
    const std::string open = token_;
    next();
    if (open == "(" || open == "[" || open == "{") {
        const std::size_t inside = alternatives();
        const std::string close = open == "(" ? ")" : open == "[" ? "]" : "}";
        if (token_ != close)
            throw std::runtime_error(close + " expected, not " + token_);
        next();
        if (open == "(")
            return inside;
        term.kind = open == "[" ? Term::Kind::option : Term::Kind::repetition;
        term.children.push_back(inside);
        return add(std::move(term));
    }
    if (open[0] == '"') {
        term.text = open.substr(1, open.size() - 2);
        term.kind = std::isalpha(static_cast<unsigned char>(term.text[0])) != 0 ? Term::Kind::word
                                                                                : Term::Kind::sign;
        return add(std::move(term));
    }
    term.text = open;
    term.kind = std::isupper(static_cast<unsigned char>(open[0])) != 0 ? Term::Kind::symbol
                                                                       : Term::Kind::rule;
    return add(std::move(term));
}

} // namespace groundrule::cases
