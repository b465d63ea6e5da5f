// What can be told of an expression without a job.
#include "plain/walker.h"

#include <algorithm>

namespace plain {

using book::Node;
using book::NodeId;
using book::NodeOp;

bool Walker::never_below_zero(NodeId id, const Here &here) { // NOLINT(misc-no-recursion)
    const Node &n = node(id);
    const auto child = [&](NodeId c) { return never_below_zero(c, here); };
    switch (n.op) {
    case NodeOp::constant:
    case NodeOp::limit:
        return n.value >= 0;
    case NodeOp::field: {
        const book::Field &f =
            book_.items[static_cast<std::size_t>(n.item)].fields[static_cast<std::size_t>(n.index)];
        Here there;
        there.item = static_cast<std::size_t>(n.item);
        return f.type.is_quantity() && f.type.dimension.kelvin == 0 &&
               std::all_of(f.implied.begin(), f.implied.end(),
                           [&](NodeId i) { return never_below_zero(i, there); });
    }
    case NodeOp::define: {
        const book::Define &d = book_.defines[static_cast<std::size_t>(n.index)];
        Here there;
        there.item = d.item >= 0 ? static_cast<std::size_t>(d.item) : here.item;
        for (const NodeId c : n.children)
            there.arguments.push_back({c, &here});
        return never_below_zero(d.value, there);
    }
    case NodeOp::parameter: {
        const Argument &a = here.arguments[static_cast<std::size_t>(n.index)];
        return never_below_zero(a.node, *a.from);
    }
    case NodeOp::add:
    case NodeOp::multiply:
    case NodeOp::divide:
    case NodeOp::smaller:
    case NodeOp::round_down:
    case NodeOp::round_up:
    case NodeOp::round_nearest:
        return std::all_of(n.children.begin(), n.children.end(), child);
    case NodeOp::larger:
        return std::any_of(n.children.begin(), n.children.end(), child);
    case NodeOp::conditional:
        return child(n.children[1]) && child(n.children[2]);
    case NodeOp::lookup: {
        const std::vector<double> &cells = book_.tables[static_cast<std::size_t>(n.index)].cells;
        return std::none_of(cells.begin(), cells.end(), [](double v) { return v < 0; });
    }
    case NodeOp::smallest:
    case NodeOp::largest:
        return book_.lists[static_cast<std::size_t>(n.index)].values.front() >= 0;
    case NodeOp::count:
        return true;
    case NodeOp::sum:
    case NodeOp::max:
    case NodeOp::min: {
        Here there;
        there.item = static_cast<std::size_t>(n.index);
        return never_below_zero(n.body, there);
    }
    default:
        return false;
    }
}

Walker::Could Walker::could(NodeId id, const Here &here) { // NOLINT(misc-no-recursion)
    const Node &n = node(id);
    const auto either = [](Could a, Could b) {
        return Could{a.least || b.least, a.most || b.most};
    };
    switch (n.op) {
    case NodeOp::field: {
        Here there;
        there.item = static_cast<std::size_t>(n.item);
        Could out;
        for (const NodeId i :
             book_.items[there.item].fields[static_cast<std::size_t>(n.index)].implied)
            out = either(out, could(i, there));
        return {out.least, out.most && !out.least};
    }
    case NodeOp::define: {
        const book::Define &d = book_.defines[static_cast<std::size_t>(n.index)];
        Here there;
        there.item = d.item >= 0 ? static_cast<std::size_t>(d.item) : here.item;
        for (const NodeId c : n.children)
            there.arguments.push_back({c, &here});
        return could(d.value, there);
    }
    case NodeOp::parameter: {
        const Argument &a = here.arguments[static_cast<std::size_t>(n.index)];
        return could(a.node, *a.from);
    }
    case NodeOp::subtract: {
        const Could b = could(n.children[1], here);
        return either(could(n.children[0], here), {b.most, b.least});
    }
    case NodeOp::add:
    case NodeOp::multiply:
        return either(could(n.children[0], here), could(n.children[1], here));
    case NodeOp::divide:
        return could(n.children[0], here);
    case NodeOp::conditional:
        return n.type.is_quantity() ? either(could(n.children[1], here), could(n.children[2], here))
                                    : Could{};
    case NodeOp::larger:
    case NodeOp::count:
    case NodeOp::sum:
    case NodeOp::max:
        return {true, false};
    case NodeOp::smaller:
    case NodeOp::min:
        return {false, true};
    default:
        return {};
    }
}

} // namespace plain
