// The owner of the handle of mutation.h. groundrule.hpp, whose conventions hold here, includes it.
#ifndef GROUNDRULE_MUTATION_HPP
#define GROUNDRULE_MUTATION_HPP

#include <groundrule/groundrule.hpp>

namespace groundrule {
inline namespace client {

// What became of the mutants of a book. Belongs to one thread at a time.
class Mutation {
  public:
    // Texts are borrowed until the mutation is gone.
    struct Survivor {
        std::string_view file;
        std::uint32_t line;
        std::uint32_t column;
        std::string_view subject;
        std::string_view kind;
        std::string_view from;
        std::string_view to;
    };

    // Changes what stands in `file`, or, if that is empty, what the topmost layer says. Progress:
    // rules whose tests are through.
    static Result<Mutation> of(const Book &book, std::string_view file = {},
                               std::uint32_t threads = 1, const Progress &progress = {}) {
        gr_mutation_options options = GR_MUTATION_OPTIONS_INIT;
        options.file = {detail::data(file), file.size()};
        options.threads = threads;
        options.progress = detail::asking(progress);
        options.user = detail::user(progress);
        gr_mutation *mutation = nullptr;
        gr_error error{};
        const gr_status status = gr_mutate(book.get(), &options, &mutation, &error);
        if (status != GR_OK)
            return detail::taken(status, error);
        return Mutation(mutation);
    }

    std::size_t mutants() const noexcept { return gr_mutation_mutants(mutation_.get()); }
    std::size_t killed() const noexcept { return gr_mutation_killed(mutation_.get()); }

    std::vector<Survivor> survivors() const {
        std::vector<Survivor> all;
        gr_survivor s = GR_SURVIVOR_INIT;
        while (gr_mutation_survivor(mutation_.get(), all.size(), &s, nullptr) == GR_OK)
            all.push_back({detail::view(s.file), s.line, s.column, detail::view(s.subject),
                           detail::view(s.kind), detail::view(s.from), detail::view(s.to)});
        return all;
    }

    // GR_JSON or GR_PLAIN. Borrowed until the next call of render, or until the mutation is gone.
    Result<std::string_view> render(gr_format format) {
        gr_text out{};
        gr_error error{};
        const gr_status status = gr_mutation_render(mutation_.get(), format, &out, &error);
        if (status != GR_OK)
            return detail::taken(status, error);
        return detail::view(out);
    }

  private:
    struct Free {
        void operator()(gr_mutation *mutation) const noexcept { gr_mutation_free(mutation); }
    };
    explicit Mutation(gr_mutation *mutation) : mutation_(mutation) {}

    std::unique_ptr<gr_mutation, Free> mutation_;
};

} // namespace client
} // namespace groundrule

#endif // GROUNDRULE_MUTATION_HPP
