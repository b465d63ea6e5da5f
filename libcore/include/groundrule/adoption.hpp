// Owners for the handles of adoption.h. groundrule.hpp, whose conventions hold here, includes it.
#ifndef GROUNDRULE_ADOPTION_HPP
#define GROUNDRULE_ADOPTION_HPP

#include <groundrule/groundrule.hpp>

namespace groundrule {
inline namespace client {

// One period of an answer. Views are borrowed until the answer is gone.
struct Period {
    bool in_force = false;
    std::string_view name;
    std::string_view title;
    std::string_view book;
    std::string_view handed_over;
    std::string_view by;
    std::string_view on;
};

// Which book applies to a job at a place. Belongs to one thread at a time.
class Answer {
  public:
    gr_outcome outcome() const noexcept { return gr_answer_outcome(answer_.get()); }
    std::size_t size() const noexcept { return gr_answer_count(answer_.get()); }

    Result<Period> period(std::size_t index) const {
        gr_period raw = GR_PERIOD_INIT;
        gr_error error{};
        const gr_status status = gr_answer_period(answer_.get(), index, &raw, &error);
        if (status != GR_OK)
            return detail::taken(status, error);
        return Period{
            raw.in_force != 0,      detail::view(raw.name),        detail::view(raw.title),
            detail::view(raw.book), detail::view(raw.handed_over), detail::view(raw.by),
            detail::view(raw.on)};
    }

    // GR_JSON or GR_PLAIN. Borrowed until the next call of render, or until the answer is gone.
    Result<std::string_view> render(gr_format format) {
        gr_text out{};
        gr_error error{};
        const gr_status status = gr_answer_render(answer_.get(), format, &out, &error);
        if (status != GR_OK)
            return detail::taken(status, error);
        return detail::view(out);
    }

  private:
    friend class Adoption;
    struct Free {
        void operator()(gr_answer *answer) const noexcept { gr_answer_free(answer); }
    };
    explicit Answer(gr_answer *answer) : answer_(answer) {}

    std::unique_ptr<gr_answer, Free> answer_;
};

// A place's timeline of books. Copies share it.
class Adoption {
  public:
    static Result<Adoption> open(std::string_view place, std::span<const Source> sources = {}) {
        std::vector<gr_source> raw;
        raw.reserve(sources.size());
        for (const Source &source : sources)
            raw.push_back({detail::text(source.name), detail::text(source.text)});
        gr_adoption *adoption = nullptr;
        gr_error error{};
        const gr_status status = gr_adoption_open(detail::data(place), place.size(), raw.data(),
                                                  raw.size(), &adoption, &error);
        if (status != GR_OK)
            return detail::taken(status, error);
        return Adoption(adoption);
    }

    // GR_JSON or GR_PLAIN.
    std::string_view timeline(gr_format format) const noexcept {
        return detail::view(gr_adoption_timeline(adoption_.get(), format));
    }

    // `on` is a day, `choose` the name of a period; empty: none.
    Result<Answer> find(std::string_view json, std::string_view name = "job",
                        const std::string &on = {}, const std::string &choose = {}) const {
        gr_find_options options = GR_FIND_OPTIONS_INIT;
        options.on = on.empty() ? nullptr : on.c_str();
        options.choose = choose.empty() ? nullptr : choose.c_str();
        gr_answer *answer = nullptr;
        gr_error error{};
        const gr_status status =
            gr_adoption_find(adoption_.get(), detail::data(json), json.size(), detail::data(name),
                             name.size(), &options, &answer, &error);
        if (status != GR_OK)
            return detail::taken(status, error);
        return Answer(answer);
    }

  private:
    explicit Adoption(gr_adoption *adoption) : adoption_(adoption, gr_adoption_free) {}

    std::shared_ptr<gr_adoption> adoption_;
};

} // namespace client
} // namespace groundrule

#endif // GROUNDRULE_ADOPTION_HPP
