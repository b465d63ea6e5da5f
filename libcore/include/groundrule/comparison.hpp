// The owner of the handle of comparison.h. groundrule.hpp, whose conventions hold here, includes
// it.
#ifndef GROUNDRULE_COMPARISON_HPP
#define GROUNDRULE_COMPARISON_HPP

#include <groundrule/groundrule.hpp>

namespace groundrule {
inline namespace client {

// What changed from one book to another. Belongs to one thread at a time.
class Comparison {
  public:
    static Result<Comparison> of(const Book &before, const Book &after) {
        gr_comparison *comparison = nullptr;
        gr_error error{};
        const gr_status status = gr_compare_books(before.get(), after.get(), &comparison, &error);
        if (status != GR_OK)
            return detail::taken(status, error);
        return Comparison(comparison);
    }

    // Adds which findings of a job change.
    Result<void> add_job(std::string_view json, std::string_view name = "job") {
        gr_error error{};
        const gr_status status =
            gr_comparison_add_job(comparison_.get(), detail::data(json), json.size(),
                                  detail::data(name), name.size(), &error);
        if (status != GR_OK)
            return detail::taken(status, error);
        return {};
    }

    bool same() const noexcept { return gr_comparison_same(comparison_.get()) != 0; }

    // GR_JSON or GR_PLAIN. Borrowed until the next call of render, or until the comparison is
    // gone.
    Result<std::string_view> render(gr_format format) {
        gr_text out{};
        gr_error error{};
        const gr_status status = gr_comparison_render(comparison_.get(), format, &out, &error);
        if (status != GR_OK)
            return detail::taken(status, error);
        return detail::view(out);
    }

  private:
    struct Free {
        void operator()(gr_comparison *comparison) const noexcept {
            gr_comparison_free(comparison);
        }
    };
    explicit Comparison(gr_comparison *comparison) : comparison_(comparison) {}

    std::unique_ptr<gr_comparison, Free> comparison_;
};

} // namespace client
} // namespace groundrule

#endif // GROUNDRULE_COMPARISON_HPP
