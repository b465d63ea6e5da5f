/* A check on every keystroke (C99): a circuit is filled in field by field, and after each the
 * verdicts that changed are told. Slots are looked up once; after the first check a change runs
 * again only what depends on it and takes no memory. The job is invented.
 *
 *   cc keystrokes.c $(pkg-config --cflags --libs groundrule) -o keystrokes
 */
#include <groundrule/groundrule.h>

#include <stdio.h>
#include <string.h>

enum {
    most = 8192
}; /* verdicts of a job of this size; gr_check_verdicts tells if there are more */

typedef struct keystroke {
    const char *fact;
    const char *value;
} keystroke;

static const keystroke typed[] = {
    {"circuit.breaker", "50 A"},       {"receptacle.configuration", "14-50R"},
    {"receptacle.location", "garage"}, {"receptacle.serves", "vehicle_charging"},
    {"receptacle.gfci", "none"},       {"receptacle.gfci", "class_a"}, /* mended */
};

static const char job_so_far[] =
    "{\"work\": \"new\", \"occupancy\": \"one_family_dwelling\", \"panels\": [{\"circuits\": [{"
    "\"system\": \"120/240 V, 1-phase, 3-wire\", \"receptacles\": [{}]}]}]}";

static size_t count_of(const unsigned char *verdicts, size_t count, gr_verdict which) {
    size_t n = 0;
    for (size_t i = 0; i < count; ++i)
        n += verdicts[i] == which;
    return n;
}

static gr_status type(const gr_book *book, gr_job *job, const keystroke *key, gr_error *error) {
    static unsigned char verdicts[most];
    size_t count = 0;
    gr_slot slot;
    gr_status status = gr_book_slot(book, key->fact, strlen(key->fact), &slot, error);
    if (status == GR_OK)
        status = gr_job_set_text(job, slot, 0, key->value, strlen(key->value), error);
    if (status == GR_OK)
        status = gr_check_verdicts(job, NULL, verdicts, most, &count, error);
    if (status == GR_OK && count <= most)
        printf("%-26s = %-16s violated %u, open %u\n", key->fact, key->value,
               (unsigned)count_of(verdicts, count, GR_VIOLATES),
               (unsigned)count_of(verdicts, count, GR_UNDETERMINED));
    return status;
}

int main(void) {
    gr_book *book = NULL;
    gr_job *job = NULL;
    gr_error error;
    gr_status status = gr_book_open("nec-2023", 8, NULL, 0, NULL, &book, &error);
    if (status == GR_OK)
        status = gr_job_from_json(book, job_so_far, strlen(job_so_far), NULL, 0, &job, &error);
    for (size_t i = 0; i < sizeof typed / sizeof typed[0] && status == GR_OK; ++i)
        status = type(book, job, &typed[i], &error);
    if (status != GR_OK)
        fprintf(stderr, "%s\n", error.message);
    else
        printf("The locally adopted code and the authority having jurisdiction decide.\n");
    gr_job_free(job);
    gr_book_free(book);
    return status == GR_OK ? 0 : 1;
}
