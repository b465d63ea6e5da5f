#include "answers/samples.h"

#include "quantity/conductor_size.h"

#include <algorithm>

namespace groundrule::answers {

namespace {

constexpr double far = 10;

} // namespace

Samples::Samples(const book::Book &book) : book_(book) {
    for (const book::Node &n : book.nodes) {
        if (n.op == book::NodeOp::constant || n.op == book::NodeOp::limit)
            collect(n.type, n.value);
    }
    for (const book::Table &t : book.tables) {
        for (const book::Key &k : t.keys) {
            for (const double v : k.values)
                collect(k.type, v);
        }
    }
    for (const book::List &l : book.lists) {
        for (const double v : l.values)
            collect(l.type, v);
    }
    for (auto &[name, pool] : pools_) {
        std::sort(pool.begin(), pool.end());
        pool.erase(std::unique(pool.begin(), pool.end()), pool.end());
    }
}

void Samples::collect(const book::Type &type, double value) {
    if (type.is_quantity() || type.kind == ValueKind::date)
        pools_[type_name(book_.choice_types, type)].push_back(value);
}

std::vector<double> Samples::of(const book::Type &type, std::size_t most) const {
    std::vector<double> all;
    std::size_t count = type.is_truth() ? 2 : 0;
    if (type.kind == ValueKind::choice)
        count = book_.choice_types[static_cast<std::size_t>(type.choices)].choices.size();
    if (type.kind == ValueKind::conductor_size)
        count = static_cast<std::size_t>(conductor_size_count());
    for (std::size_t i = 0; i < count; ++i)
        all.push_back(static_cast<double>(i));
    if (count != 0 && type.kind != ValueKind::conductor_size)
        return all;
    const auto pool = pools_.find(type_name(book_.choice_types, type));
    if (pool != pools_.end())
        all = pool->second;
    if (all.empty())
        all.push_back(0);
    if (type.is_quantity() && !type.dimension.point) {
        all.insert(all.begin(), 0);
        all.push_back(all.back() * 2 + 1);
        all.push_back(all.back() * far);                 // beyond what a rule may make of it
    } else if (type.kind != ValueKind::conductor_size) { // a day or a kelvin to both sides
        all.insert(all.begin(), all.front() - 1);
        all.push_back(all.back() + 1);
    }
    for (std::size_t i = all.size(); type.is_quantity() && i-- > 1;) // and between two of them
        all.insert(all.begin() + static_cast<std::ptrdiff_t>(i), (all[i - 1] + all[i]) / 2);
    if (all.size() <= most)
        return all;
    std::vector<double> out;
    for (std::size_t i = 0; i < most; ++i)
        out.push_back(all[i * (all.size() - 1) / (most - 1)]);
    return out;
}

std::vector<double> Samples::with_told(const book::Type &type, std::size_t most,
                                       const facts::Job &job) const {
    std::vector<double> out = of(type, most);
    if (!type.is_quantity() && type.kind != ValueKind::date)
        return out;
    for (std::size_t i = 0; i < book_.items.size(); ++i) {
        const std::vector<book::Field> &fields = book_.items[i].fields;
        const facts::Rows &rows = job.rows(static_cast<std::int32_t>(i));
        for (std::size_t f = 0; f < fields.size(); ++f) {
            const book::Type &other = fields[f].type;
            if (other.kind != type.kind || !(other.dimension == type.dimension))
                continue;
            for (std::size_t row = 0; row < rows.size(); ++row) {
                const Cell &cell = rows.given.at(f, row);
                if (cell.exact())
                    out.push_back(cell.value);
            }
        }
    }
    std::sort(out.begin(), out.end());
    out.erase(std::unique(out.begin(), out.end()), out.end());
    return out;
}

} // namespace groundrule::answers
