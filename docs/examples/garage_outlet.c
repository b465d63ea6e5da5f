/* A garage outlet for car charging, checked from C (C99).
 *
 * Opens a book, tells the facts of an invented job one by one, checks it and prints what is
 * violated and what is still open. The same job as docs/examples/garage-outlet.json, shortened.
 *
 *   cc garage_outlet.c $(pkg-config --cflags --libs groundrule) -o garage_outlet
 */
#include <groundrule/groundrule.h>

#include <stdio.h>
#include <string.h>

typedef struct fact {
    const char *name;
    const char *value;
} fact;

static const fact circuit_facts[] = {
    {"circuit.system", "120/240 V, 1-phase, 3-wire"},
    {"circuit.neutral", "yes"},
    {"circuit.breaker", "50 A"},
    {"circuit.device", "inverse_time_breaker"},
    {"circuit.poles", "2"},
    {"circuit.common_trip", "yes"},
    {"circuit.terminal_rating", "75 °C"},
};
static const fact receptacle_facts[] = {
    {"receptacle.configuration", "14-50R"},
    {"receptacle.single", "yes"},
    {"receptacle.serves", "vehicle_charging"},
    {"receptacle.location", "garage"},
    {"receptacle.gfci", "none"},
};
static const fact equipment_facts[] = {
    {"equipment.kind", "vehicle_charging"},
    {"equipment.rated_current", "40 A"},
    {"equipment.connection", "cord_and_plug"},
};
static const fact run_facts[] = {
    {"run.designation", "8/3 NM-B"},      {"run.material", "copper"},
    {"run.ambient_temperature", "30 °C"}, {"run.neighbours", "0"},
    {"run.cables_bundled", "1"},          {"run.cables_in_sealed_hole", "1"},
};

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

/* A host that checks many jobs looks its slots up once and keeps them. */
static gr_status tell(const gr_book *book, gr_job *job, uint32_t row, const fact *facts,
                      size_t count, gr_error *error) {
    for (size_t i = 0; i < count; ++i) {
        gr_slot slot;
        gr_status status = gr_book_slot(book, facts[i].name, strlen(facts[i].name), &slot, error);
        if (status == GR_OK)
            status = gr_job_set_text(job, slot, row, facts[i].value, strlen(facts[i].value), error);
        if (status != GR_OK)
            return status;
    }
    return GR_OK;
}

/* One item of a list, and the word that the list names all of them. */
static gr_status add_only(gr_job *job, uint32_t parent, const char *list, uint32_t *row,
                          gr_error *error) {
    const gr_status status = gr_job_add(job, parent, list, strlen(list), row, error);
    if (status != GR_OK)
        return status;
    return gr_job_complete(job, parent, list, strlen(list), 1, error);
}

static gr_status describe_job(const gr_book *book, gr_job *job, gr_error *error) {
    static const fact job_facts[] = {{"job.work", "new"}, {"job.occupancy", "one_family_dwelling"}};
    static const fact panel_facts[] = {{"panel.work", "existing"},
                                       {"panel.role", "service_equipment"}};
    static const fact circuit_work[] = {{"circuit.work", "new"}};
    uint32_t panel, circuit, receptacle, equipment, run;
    gr_status s = tell(book, job, 0, job_facts, COUNT(job_facts), error);

    if (s == GR_OK)
        s = gr_job_add(job, 0, "panels", strlen("panels"), &panel, error);
    if (s == GR_OK)
        s = tell(book, job, panel, panel_facts, COUNT(panel_facts), error);
    if (s == GR_OK)
        s = gr_job_add(job, panel, "circuits", strlen("circuits"), &circuit, error);
    if (s == GR_OK)
        s = tell(book, job, circuit, circuit_work, COUNT(circuit_work), error);
    if (s == GR_OK)
        s = tell(book, job, circuit, circuit_facts, COUNT(circuit_facts), error);
    if (s == GR_OK)
        s = add_only(job, circuit, "receptacles", &receptacle, error);
    if (s == GR_OK)
        s = tell(book, job, receptacle, receptacle_facts, COUNT(receptacle_facts), error);
    if (s == GR_OK)
        s = add_only(job, circuit, "equipment", &equipment, error);
    if (s == GR_OK)
        s = tell(book, job, equipment, equipment_facts, COUNT(equipment_facts), error);
    if (s == GR_OK)
        s = add_only(job, circuit, "runs", &run, error);
    if (s == GR_OK)
        s = tell(book, job, run, run_facts, COUNT(run_facts), error);
    return s;
}

static gr_status print_findings(const gr_report *report, gr_error *error) {
    const size_t count = gr_report_count(report);
    for (size_t i = 0; i < count; ++i) {
        gr_finding f;
        f.size = sizeof f;
        const gr_status status = gr_report_finding(report, i, &f, error);
        if (status != GR_OK)
            return status;
        if (f.verdict == GR_VIOLATES)
            printf("violated  %s  %s\n          %s\n", f.citation.data, f.item.data, f.says.data);
        else if (f.verdict == GR_UNDETERMINED && f.known_to_apply)
            printf("open      %s  %s\n", f.citation.data, f.item.data);
    }
    printf("The locally adopted code and the authority having jurisdiction decide.\n");
    return GR_OK;
}

int main(void) {
    static const char name[] = "nec-2017+tia-17-2";
    gr_book *book = NULL;
    gr_job *job = NULL;
    gr_report *report = NULL;
    gr_error error;

    gr_status status = gr_book_open(name, strlen(name), NULL, 0, NULL, &book, &error);
    if (status == GR_OK)
        status = gr_job_new(book, &job, &error);
    if (status == GR_OK)
        status = describe_job(book, job, &error);
    if (status == GR_OK)
        status = gr_check(job, NULL, &report, &error);
    if (status == GR_OK)
        status = print_findings(report, &error);
    if (status != GR_OK)
        fprintf(stderr, "%s\n", error.message);

    gr_report_free(report);
    gr_job_free(job);
    gr_book_free(book);
    return status == GR_OK ? 0 : 1;
}
