// Every node owns what it points to, so that a consumer may move a child out of its parent, as the
// standard allows.
#include "columns/export.h"

#include <array>
#include <cstring>
#include <string>

namespace groundrule::columns {

namespace {

// Children that are given back with their parent, also where making it fails halfway.
template <typename Struct>
struct Children {
    std::vector<Struct> children;
    std::vector<Struct *> pointers;

    Children() = default;
    Children(const Children &) = delete;
    Children &operator=(const Children &) = delete;
    ~Children() {
        for (Struct &child : children) {
            if (child.release != nullptr)
                child.release(&child);
        }
    }
};

struct SchemaNode : Children<ArrowSchema> {
    std::string format;
    std::string name;
    std::string metadata;
};

struct ArrayNode : Children<ArrowArray> {
    std::shared_ptr<const Outcome> outcome;
    std::array<const void *, 2> buffers = {nullptr, nullptr};
};

template <typename Node, typename Struct>
void release(Struct *s) {
    delete static_cast<Node *>(s->private_data);
    s->release = nullptr;
}

template <typename Struct, typename Node>
Struct handed_over(Struct out, std::unique_ptr<Node> node) {
    for (auto &child : node->children)
        node->pointers.push_back(&child);
    out.n_children = static_cast<std::int64_t>(node->children.size());
    out.children = node->pointers.empty() ? nullptr : node->pointers.data();
    out.release = release<Node, Struct>;
    out.private_data = node.release();
    return out;
}

void schema(ArrowSchema &out, std::unique_ptr<SchemaNode> node) {
    ArrowSchema made = {};
    made.format = node->format.c_str();
    made.name = node->name.c_str();
    made.metadata = node->metadata.empty() ? nullptr : node->metadata.data();
    out = handed_over(made, std::move(node));
}

void array(ArrowArray &out, std::unique_ptr<ArrayNode> node, std::size_t length,
           std::size_t buffers) {
    ArrowArray made = {};
    made.length = static_cast<std::int64_t>(length);
    made.n_buffers = static_cast<std::int64_t>(buffers);
    made.buffers = node->buffers.data();
    out = handed_over(made, std::move(node));
}

// Key and value pairs in the form that the C data interface has for metadata.
std::string pairs(std::initializer_list<std::string> keys_and_values) {
    std::string out;
    const auto number = [&](std::size_t n) {
        const auto value = static_cast<std::int32_t>(n);
        char bytes[sizeof value];
        std::memcpy(bytes, &value, sizeof value);
        out.append(bytes, sizeof value);
    };
    number(keys_and_values.size() / 2);
    for (const std::string &text : keys_and_values) {
        number(text.size());
        out += text;
    }
    return out;
}

std::size_t tier_of(const Audit &audit, const book::Rule &rule) {
    return static_cast<std::size_t>(
        audit.plan().layout.tier_of[static_cast<std::size_t>(rule.item)]);
}

} // namespace

void export_schema(const book::Book &book, const Audit &audit, ArrowSchema &out) {
    auto root = std::make_unique<SchemaNode>();
    root->format = "+s";
    root->children.resize(audit.plan().rules.size());
    for (std::size_t k = 0; k < root->children.size(); ++k) {
        const book::Rule &rule = book.rules[audit.plan().rules[k]];
        auto column = std::make_unique<SchemaNode>();
        column->name = rule.topic;
        column->metadata = pairs({"citation", rule.citation, "title", rule.title, "item",
                                  book.items[static_cast<std::size_t>(rule.item)].name});
        column->format = "C";
        if (tier_of(audit, rule) != 0) {
            column->format = "+L";
            auto verdicts = std::make_unique<SchemaNode>();
            verdicts->name = "item";
            verdicts->format = "C";
            column->children.resize(1);
            schema(column->children[0], std::move(verdicts));
        }
        schema(root->children[k], std::move(column));
    }
    schema(out, std::move(root));
}

void export_array(Outcome outcome, ArrowArray &out) {
    const auto shared = std::make_shared<const Outcome>(std::move(outcome));
    auto root = std::make_unique<ArrayNode>();
    root->children.resize(shared->verdicts.size());
    for (std::size_t k = 0; k < root->children.size(); ++k) {
        const std::size_t tier = shared->tiers[k];
        auto verdicts = std::make_unique<ArrayNode>();
        verdicts->outcome = shared;
        verdicts->buffers[1] = shared->verdicts[k];
        if (tier == 0) {
            array(root->children[k], std::move(verdicts), shared->rows, 2);
            continue;
        }
        auto lists = std::make_unique<ArrayNode>();
        lists->outcome = shared;
        lists->buffers[1] = shared->offsets[tier].data();
        lists->children.resize(1);
        array(lists->children[0], std::move(verdicts),
              static_cast<std::size_t>(shared->offsets[tier].back()), 2);
        array(root->children[k], std::move(lists), shared->rows, 2);
    }
    array(out, std::move(root), shared->rows, 1);
}

} // namespace groundrule::columns
