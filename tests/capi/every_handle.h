// A handle of each kind, of C++ programs that need them all: none at first, all freed at the end.
#pragma once

#include <groundrule/groundrule.h>

struct EveryHandle {
    gr_book *book = nullptr;
    gr_job *job = nullptr;
    gr_report *report = nullptr;
    gr_document *document = nullptr;
    gr_explanation *explanation = nullptr;
    gr_interview *interview = nullptr;
    gr_remedies *remedies = nullptr;
    gr_audit *audit = nullptr;
    gr_comparison *comparison = nullptr;
    gr_mutation *mutation = nullptr;
    gr_adoption *adoption = nullptr;
    gr_answer *answer = nullptr;

    EveryHandle() = default;
    EveryHandle(const EveryHandle &) = delete;
    EveryHandle &operator=(const EveryHandle &) = delete;
    ~EveryHandle() {
        gr_report_free(report);
        gr_document_free(document);
        gr_explanation_free(explanation);
        gr_interview_free(interview);
        gr_remedies_free(remedies);
        gr_audit_free(audit);
        gr_comparison_free(comparison);
        gr_mutation_free(mutation);
        gr_answer_free(answer);
        gr_adoption_free(adoption);
        gr_job_free(job);
        gr_book_free(book);
    }
};
