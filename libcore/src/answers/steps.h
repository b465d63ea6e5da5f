// Steps of an explanation, made by walking expressions of a book over the cells of one run.
#pragma once

#include "answers/explain.h"

#include <map>
#include <tuple>

namespace groundrule::answers {

class Walk {
  public:
    Walk(const book::Book &book, const program::Program &program, const facts::Job &job,
         const evaluate::Workspace &workspace, std::vector<Step> &steps)
        : book_(book), program_(program), job_(job), workspace_(workspace), steps_(steps) {}

    // The rule whose limits the following expressions may name.
    void speak_of(const book::Rule &rule) { rule_ = &rule; }

    // The step of an expression as seen from a row of an item type.
    std::uint32_t step(book::NodeId node, std::int32_t space, std::size_t row) {
        return walk(node, {space, row, nullptr, {}});
    }
    // Whether the rule binds the row's kind of work; none if it binds all.
    std::uint32_t bound(const book::Rule &rule, std::size_t row);

  private:
    // Where an expression stands.
    struct Place {
        std::int32_t space = 0;
        std::size_t row = 0;
        const std::vector<std::uint32_t> *parameters = nullptr; // inside a function
        std::vector<double> sought; // elements of the searches around it
        const book::Define *define = nullptr;
    };

    std::uint32_t walk(book::NodeId id, const Place &place);
    std::uint32_t add(Step step);
    std::uint32_t fact(std::int32_t item, std::size_t index, std::size_t row);
    std::uint32_t defined(const book::Node &n, const Place &place);
    std::uint32_t called(const book::Node &n, const Place &place);
    std::uint32_t conditional(const book::Node &n, const Place &place);
    std::uint32_t operation(const book::Node &n, const Place &place);
    std::uint32_t looked_up(const book::Node &n, const Place &place);
    std::uint32_t searched(const book::Node &n, const Place &place);
    std::uint32_t counted(const book::Node &n, const Place &place);
    std::uint32_t applies(const book::Node &n, const Place &place);
    std::uint32_t joined(book::NodeOp op, const std::vector<std::uint32_t> &parts);

    std::string words_of(book::NodeId id, const Place &place) const;
    std::size_t row_of(std::int32_t item, const Place &place) const;
    const Cell &cell(std::uint32_t step) const { return steps_[step].value; }

    const book::Book &book_;
    const program::Program &program_;
    const facts::Job &job_;
    const evaluate::Workspace &workspace_;
    std::vector<Step> &steps_;
    const book::Rule *rule_ = nullptr;
    // Steps that stand already: of facts and of definitions, by row; of expressions outside
    // functions and searches, by the row that they are seen from.
    std::map<std::tuple<std::int32_t, std::size_t, std::size_t>, std::uint32_t> facts_;
    std::map<std::pair<std::int32_t, std::size_t>, std::uint32_t> defines_;
    std::map<std::tuple<book::NodeId, std::int32_t, std::size_t>, std::uint32_t> known_;
};

} // namespace groundrule::answers
