/* A host in C99 that was built against the installed library. */
#include <groundrule/groundrule.h>

#include <stdio.h>
#include <string.h>

int main(void) {
    static const char name[] = "nec-2020";
    static const char facts[] =
        "{\"work\": \"new\", \"panels\": [{\"circuits\": [{\"breaker\": \"50 A\"}]}]}";
    gr_book *book = NULL;
    gr_job *job = NULL;
    gr_report *report = NULL;
    gr_text text;
    gr_error error;

    gr_status status = gr_book_open(name, strlen(name), NULL, 0, NULL, &book, &error);
    if (status == GR_OK)
        status = gr_job_from_json(book, facts, strlen(facts), NULL, 0, &job, &error);
    if (status == GR_OK)
        status = gr_check(job, NULL, &report, &error);
    if (status == GR_OK)
        status = gr_report_render(report, GR_PLAIN, NULL, &text, &error);
    if (status == GR_OK)
        printf("groundrule %s\n%s", gr_version(), text.data);
    else
        fprintf(stderr, "%s\n", error.message);

    gr_report_free(report);
    gr_job_free(job);
    gr_book_free(book);
    return status == GR_OK ? 0 : 1;
}
