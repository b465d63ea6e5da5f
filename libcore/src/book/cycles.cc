// A depth-first walk over what reads what. It keeps its own stack: a chain of definitions may be as
// long as a file.
#include "book/cycles.h"

#include "text/limits.h"

namespace groundrule::book {

namespace {

using Vertex = std::size_t;

class Readers {
  public:
    explicit Readers(const Book &book) : book_(book) {
        for (std::size_t i = 0; i < book.items.size(); ++i) {
            for (std::size_t f = 0; f < book.items[i].fields.size(); ++f)
                fields_.emplace_back(i, f);
        }
    }

    std::size_t size() const { return book_.rules.size() + book_.defines.size() + fields_.size(); }

    std::string name(Vertex v) const {
        if (v < book_.rules.size())
            return book_.rules[v].topic;
        v -= book_.rules.size();
        if (v < book_.defines.size()) {
            const Define &d = book_.defines[v];
            return d.item < 0 ? d.name
                              : book_.items[static_cast<std::size_t>(d.item)].name + "." + d.name;
        }
        const auto &[item, field] = fields_[v - book_.defines.size()];
        return book_.items[item].name + "." + book_.items[item].fields[field].name;
    }

    Span span(Vertex v) const {
        if (v < book_.rules.size())
            return book_.rules[v].span;
        v -= book_.rules.size();
        if (v < book_.defines.size())
            return book_.defines[v].span;
        const auto &[item, field] = fields_[v - book_.defines.size()];
        return book_.items[item].fields[field].span;
    }

    // What a vertex reads, in the order in which it is written.
    std::vector<Vertex> reads(Vertex v) const {
        std::vector<NodeId> nodes;
        if (v < book_.rules.size())
            nodes = of_rule(book_.rules[v]);
        else if (v < book_.rules.size() + book_.defines.size())
            nodes = {book_.defines[v - book_.rules.size()].value};
        else
            nodes = of_field(v);
        std::vector<Vertex> out;
        std::vector<NodeId> open(nodes.rbegin(), nodes.rend());
        while (!open.empty()) {
            const NodeId id = open.back();
            open.pop_back();
            if (id != no_node)
                visit(book_.nodes[id], open, out);
        }
        return out;
    }

  private:
    void visit(const Node &n, std::vector<NodeId> &open, std::vector<Vertex> &out) const {
        const auto index = static_cast<std::size_t>(n.index);
        if (n.op == NodeOp::applies)
            out.push_back(index);
        else if (n.op == NodeOp::define)
            out.push_back(book_.rules.size() + index);
        else if (n.op == NodeOp::field)
            out.push_back(book_.rules.size() + book_.defines.size() +
                          book_.items[static_cast<std::size_t>(n.item)].fields[index].slot);
        open.push_back(n.body);
        open.push_back(n.where);
        open.insert(open.end(), n.children.rbegin(), n.children.rend());
    }

    std::vector<NodeId> of_field(Vertex v) const {
        const auto &[item, field] = fields_[v - book_.rules.size() - book_.defines.size()];
        return book_.items[item].fields[field].implied;
    }

    static void add(const std::vector<MessagePart> &message, std::vector<NodeId> &out) {
        for (const MessagePart &p : message)
            out.push_back(p.value);
    }

    static std::vector<NodeId> of_rule(const Rule &r) {
        std::vector<NodeId> out;
        for (const Condition &c : r.conditions)
            out.push_back(c.node);
        for (const auto *parts : {&r.listed, &r.exceptions, &r.paths, &r.permits}) {
            for (const Part &p : *parts) {
                out.push_back(p.node);
                add(p.says, out);
            }
        }
        out.push_back(r.requirement);
        add(r.says, out);
        return out;
    }

    const Book &book_;
    std::vector<std::pair<std::size_t, std::size_t>> fields_; // by slot: item, field
};

class Search {
  public:
    Search(const Book &book, Diagnostics &diagnostics)
        : readers_(book), diagnostics_(diagnostics), states_(readers_.size(), State::untouched) {}

    void run() {
        for (Vertex v = 0; v < states_.size(); ++v) {
            if (states_[v] == State::untouched)
                from(v);
        }
    }

  private:
    enum class State : std::uint8_t { untouched, open, done };
    struct Step {
        Vertex vertex;
        std::vector<Vertex> reads;
        std::size_t next = 0;
    };

    void enter(Vertex v) {
        states_[v] = State::open;
        way_.push_back({v, readers_.reads(v)});
    }

    void from(Vertex start) {
        enter(start);
        while (!way_.empty()) {
            Step &step = way_.back();
            if (step.next == step.reads.size()) {
                states_[step.vertex] = State::done;
                way_.pop_back();
                continue;
            }
            const Vertex read = step.reads[step.next++];
            if (states_[read] == State::open)
                tell(read);
            else if (states_[read] == State::untouched)
                enter(read);
        }
    }

    // The way from a vertex to itself; the middle of a long one is left out.
    void tell(Vertex v) {
        constexpr std::size_t shown = 8;
        if (told_ == limits::faults_per_file)
            return;
        ++told_;
        std::size_t at = way_.size();
        while (way_[at - 1].vertex != v)
            --at;
        --at;
        std::string path;
        for (std::size_t i = at; i < way_.size(); ++i) {
            if (i < at + shown || i + 1 == way_.size())
                path += readers_.name(way_[i].vertex) + " → ";
            else if (i == at + shown)
                path += "… → ";
        }
        const std::string name = readers_.name(v);
        diagnostics_
            .error("cycle", readers_.span(v), "`" + name + "` leads back to itself: " + path + name)
            .help = "one of them has to be worked out from facts alone";
    }

    Readers readers_;
    Diagnostics &diagnostics_;
    std::vector<State> states_;
    std::vector<Step> way_;
    std::size_t told_ = 0;
};

} // namespace

void check_cycles(const Book &book, Diagnostics &diagnostics) {
    Search(book, diagnostics).run();
}

} // namespace groundrule::book
