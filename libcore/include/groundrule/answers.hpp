// The owners of the handles of answers.h. groundrule.hpp, whose conventions hold here, includes it.
#ifndef GROUNDRULE_ANSWERS_HPP
#define GROUNDRULE_ANSWERS_HPP

#include <groundrule/groundrule.hpp>

namespace groundrule {
inline namespace client {

namespace detail {

// The failure of a call that tells it in a gr_error; nothing if it succeeded.
template <typename Call>
std::optional<Error> failure_of(Call call) {
    gr_error error{};
    const gr_status status = call(&error);
    return status == GR_OK ? std::nullopt : std::optional(taken(status, error));
}

template <typename Call>
Result<void> done(Call call) {
    auto failure = failure_of(call);
    return failure ? Result<void>(std::move(*failure)) : Result<void>();
}

// What a call gives into its last but one argument.
template <typename Given, typename Call>
Result<Given> given(Call call) {
    Given out{};
    auto failure = failure_of([&](gr_error *error) { return call(&out, error); });
    return failure ? Result<Given>(std::move(*failure)) : Result<Given>(out);
}

template <typename Call>
Result<std::string_view> given_text(Call call) {
    gr_text out{};
    auto failure = failure_of([&](gr_error *error) { return call(&out, error); });
    return failure ? Result<std::string_view>(std::move(*failure))
                   : Result<std::string_view>(view(out));
}

} // namespace detail

// Which findings to explain; empty: any.
struct Explained {
    std::string clause;
    std::string item;
    std::string stage;
};

// Why findings are what they are. Belongs to one thread at a time.
class Explanation {
  public:
    static Result<Explanation> of(const Job &job, const Explained &which = {}) {
        gr_explain_options options = GR_EXPLAIN_OPTIONS_INIT;
        options.clause = which.clause.c_str();
        options.item = which.item.c_str();
        options.stage = which.stage.c_str();
        const auto made =
            detail::given<gr_explanation *>([&](gr_explanation **out, gr_error *error) {
                return gr_explain(job.get(), &options, out, error);
            });
        if (!made)
            return made.error();
        return Explanation(*made);
    }

    std::size_t size() const noexcept { return gr_explanation_count(explanation_.get()); }

    // GR_JSON, GR_PLAIN or GR_HTML. Borrowed until the next call of render, or until the
    // explanation is gone.
    Result<std::string_view> render(int format) {
        return detail::given_text([&](gr_text *out, gr_error *error) {
            return gr_explanation_render(explanation_.get(), format, out, error);
        });
    }

  private:
    struct Free {
        void operator()(gr_explanation *explanation) const noexcept {
            gr_explanation_free(explanation);
        }
    };
    explicit Explanation(gr_explanation *explanation) : explanation_(explanation) {}

    std::unique_ptr<gr_explanation, Free> explanation_;
};

// A question of an interview. Views are borrowed until it is answered or skipped, or the interview
// is gone.
struct Question {
    std::string_view fact;
    std::string_view item;
    std::string_view kind;
    std::string_view question;
    std::string_view unit;
    std::string_view choices; // separated by newlines
    std::size_t waiting = 0;
    double decides = 0;
    bool proven = false;
};

// Ask, answer, ask next. Belongs to one thread at a time.
class Interview {
  public:
    // outline: also asks what is there, for lists without items.
    static Result<Interview> of(const Book &book, std::string_view json, std::string_view name,
                                bool outline = false, const std::string &stage = {}) {
        gr_interview_options options = GR_INTERVIEW_OPTIONS_INIT;
        options.stage = stage.c_str();
        options.outline = outline ? 1 : 0;
        const auto made = detail::given<gr_interview *>([&](gr_interview **out, gr_error *error) {
            return gr_interview_new(book.get(), detail::data(json), json.size(), detail::data(name),
                                    name.size(), &options, out, error);
        });
        if (!made)
            return made.error();
        return Interview(*made);
    }

    // Nothing if nothing is left to ask.
    Result<std::optional<Question>> question() {
        gr_question raw = GR_QUESTION_INIT;
        int asked = 0;
        gr_error error{};
        const gr_status status = gr_interview_question(interview_.get(), &asked, &raw, &error);
        if (status != GR_OK)
            return detail::taken(status, error);
        if (asked == 0)
            return std::optional<Question>();
        return std::optional<Question>(Question{detail::view(raw.fact), detail::view(raw.item),
                                                detail::view(raw.kind), detail::view(raw.question),
                                                detail::view(raw.unit), detail::view(raw.choices),
                                                raw.waiting, raw.decides, raw.proven != 0});
    }

    Result<void> answer(std::string_view text) {
        return detail::done([&](gr_error *error) {
            return gr_interview_answer(interview_.get(), detail::data(text), text.size(), error);
        });
    }

    Result<void> skip() {
        return detail::done(
            [&](gr_error *error) { return gr_interview_skip(interview_.get(), error); });
    }

    // All that could be asked now, as GR_JSON or GR_PLAIN. Borrowed until the next call of render.
    Result<std::string_view> render(int format) {
        return detail::given_text([&](gr_text *out, gr_error *error) {
            return gr_interview_render(interview_.get(), format, out, error);
        });
    }

    // The job with all answers, as JSON. Borrowed until the next call of job.
    Result<std::string_view> job() {
        return detail::given_text([&](gr_text *out, gr_error *error) {
            return gr_interview_job(interview_.get(), out, error);
        });
    }

  private:
    struct Free {
        void operator()(gr_interview *interview) const noexcept { gr_interview_free(interview); }
    };
    explicit Interview(gr_interview *interview) : interview_(interview) {}

    std::unique_ptr<gr_interview, Free> interview_;
};

// The row of an item of a slot's type by its path or id; empty: that of the only one.
inline Result<std::uint32_t> find_row(const Job &job, Slot slot, std::string_view item) {
    return detail::given<std::uint32_t>([&](std::uint32_t *row, gr_error *error) {
        return gr_job_find(job.get(), slot, detail::data(item), item.size(), row, error);
    });
}

struct RemedyOptions {
    std::string stage;
    std::size_t most_changes = 3;
    std::size_t most_tries = 20000;
    std::size_t most_told = 10; // 0: all that were found
    bool settled = false;       // none that leaves open what complied before
    std::vector<gr_cost> costs;
    std::vector<gr_place> open; // to be sized
    Progress progress;          // of jobs that are checked
};

// What would make a job pass. Belongs to one thread at a time.
class Remedies {
  public:
    static Result<Remedies> of(const Job &job, const RemedyOptions &how = {}) {
        gr_remedy_options options = GR_REMEDY_OPTIONS_INIT;
        options.stage = how.stage.c_str();
        options.most_changes = how.most_changes;
        options.most_tries = how.most_tries;
        options.most_told = how.most_told;
        options.settled = how.settled ? 1 : 0;
        options.costs = how.costs.data();
        options.cost_count = how.costs.size();
        options.open = how.open.data();
        options.open_count = how.open.size();
        options.progress = detail::asking(how.progress);
        options.user = detail::user(how.progress);
        const auto made = detail::given<gr_remedies *>([&](gr_remedies **out, gr_error *error) {
            return gr_find_remedies(job.get(), &options, out, error);
        });
        if (!made)
            return made.error();
        return Remedies(*made);
    }

    std::size_t size() const noexcept { return gr_remedies_count(remedies_.get()); }
    bool exhausted() const noexcept { return gr_remedies_exhausted(remedies_.get()) != 0; }

    // Makes the changes of one of them on a job of the same items.
    Result<void> apply(std::size_t index, Job &job) const {
        return detail::done([&](gr_error *error) {
            return gr_remedies_apply(remedies_.get(), index, job.get(), error);
        });
    }

    // GR_JSON or GR_PLAIN. Borrowed until the next call of render.
    Result<std::string_view> render(int format) {
        return detail::given_text([&](gr_text *out, gr_error *error) {
            return gr_remedies_render(remedies_.get(), format, out, error);
        });
    }

  private:
    struct Free {
        void operator()(gr_remedies *remedies) const noexcept { gr_remedies_free(remedies); }
    };
    explicit Remedies(gr_remedies *remedies) : remedies_(remedies) {}

    std::unique_ptr<gr_remedies, Free> remedies_;
};

// The points to check, as values of the fact: "1 A".
struct Grid {
    std::string from;
    std::string to;
    std::string step;
};

// The largest lawful value of a fact, as a document, GR_JSON or GR_PLAIN. advice: rules that only
// advise count too. Progress: points.
inline Result<std::string> largest(const Job &job, Slot slot, std::uint32_t row, const Grid &grid,
                                   int format, bool advice = false, const std::string &stage = {},
                                   const Progress &progress = {}) {
    gr_largest_options options = GR_LARGEST_OPTIONS_INIT;
    options.stage = stage.c_str();
    options.advice = advice ? 1 : 0;
    options.from = grid.from.c_str();
    options.to = grid.to.c_str();
    options.step = grid.step.c_str();
    options.progress = detail::asking(progress);
    options.user = detail::user(progress);
    const auto document = detail::given<gr_document *>([&](gr_document **out, gr_error *error) {
        return gr_find_largest(job.get(), {slot, row}, &options, format, out, error);
    });
    if (!document)
        return document.error();
    std::string out(detail::view(gr_document_text(*document)));
    gr_document_free(*document);
    return out;
}

} // namespace client
} // namespace groundrule

#endif // GROUNDRULE_ANSWERS_HPP
