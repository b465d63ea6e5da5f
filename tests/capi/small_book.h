/* A book that is whole and small: it opens with some thousand allocations, so that a test may let
 * each of them fail. Invented; its clause numbers only look like some. */
#ifndef SMALL_BOOK_H
#define SMALL_BOOK_H

static const char small_book_name[] = "small.rules"; /* its source's, as for any printed book */

static const char small_book[] = "printed small-1\n"
                                 "\n"
                                 "edition small-1\n"
                                 "  title \"A small book\"\n"
                                 "\n"
                                 "type place : one of (garage, bathroom, kitchen)\n"
                                 "\n"
                                 "item job \"Job\"\n"
                                 "  storeys : number choice \"Storeys?\"\n"
                                 "\n"
                                 "item circuit in job as circuits \"Circuit\"\n"
                                 "  breaker : current choice \"Breaker?\"\n"
                                 "\n"
                                 "item outlet in circuit as outlets \"Outlet\"\n"
                                 "  location : place choice \"Where?\"\n"
                                 "  gfci     : yes_no look_up \"Protected?\"\n"
                                 "  voltage  : voltage look_up \"Voltage?\"\n"
                                 "\n"
                                 "list 240.6(A) \"Ratings\" of current\n"
                                 "  = 15 A, 20 A\n"
                                 "\n"
                                 "define rated(i : current) : current\n"
                                 "  = smallest(s in list 240.6(A) where s at least i)\n"
                                 "\n"
                                 "rule 210.8(A) \"Protection\"\n"
                                 "  topic  protection\n"
                                 "  for    outlet\n"
                                 "  limit  highest = 250 V\n"
                                 "  where  low : voltage at most highest\n"
                                 "  shall  gfci\n"
                                 "  says   \"At {voltage}\"\n"
                                 "  listed (1) where location is garage\n"
                                 "  listed (2) where location is kitchen\n"
                                 "  except 1 where circuit.breaker more than 20 A\n"
                                 "\n"
                                 "rule 210.20 \"Rating\"\n"
                                 "  topic rating\n"
                                 "  for   circuit\n"
                                 "  shall breaker = rated(breaker)\n"
                                 "  says  \"{breaker} is no rating.\"\n"
                                 "\n"
                                 "remedy circuit \"Breaker of another rating\"\n"
                                 "  breaker = 15 A, 20 A\n"
                                 "\n"
                                 "remedy outlet \"Protection\"\n"
                                 "  gfci = yes\n"
                                 "\n"
                                 "test protection \"A dry bathroom\"\n"
                                 "  given outlet.location = bathroom, outlet.voltage = 120 V\n"
                                 "  with outlet.gfci = no expect not_applicable\n";

/* Protection violates, the rating too. */
static const char small_job[] =
    "{\"circuits\": [{\"breaker\": \"17 A\", \"outlets\": [{\"location\": \"garage\","
    "\"voltage\": \"120 V\", \"gfci\": false}]}]}";

#endif
