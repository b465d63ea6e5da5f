// Takes the place of the shipped rule sets, whose object is then left out of the program: reading
// them would take most of the time of each execution. It has the edition's name and one of each
// thing that an amendment can change.
#include "book/embedded.h"

#include <string_view>

namespace groundrule::book {

namespace {

constexpr std::string_view vocabulary = R"(vocabulary
type place : one of (garage, bathroom, kitchen)
group wet of place = (bathroom, kitchen)
item job "Job"
  storeys : number choice "Storeys?"
item circuit in job as circuits "Circuit"
  breaker : current choice "Breaker?"
item outlet in circuit as outlets "Outlet"
  location : place choice "Where?"
  gfci : yes_no look_up "Protected?"
  voltage : voltage look_up "Voltage?"
)";

constexpr std::string_view edition = R"(edition nec-2020
  title "Private"
list 240.6(A) "Ratings" of current
  = 15 A, 20 A
table 310.16 "Ampacity"
  gives current
  by size : conductor_size, rating : temperature
  rating | 60 °C | 75 °C
  14 AWG | 15 A | 20 A
define rated(i : current) : current
  = smallest(s in list 240.6(A) where s at least i)
rule 210.8(A) "Protection"
  topic protection
  for outlet
  limit highest = 250 V
  where low : voltage at most highest
  shall gfci
  says "At {voltage}"
  listed (1) where location is garage
  listed (2) where location is wet
  except 1 where circuit.breaker more than 20 A
)";

} // namespace

const EmbeddedFile embedded_files[] = {
    {"edition.rules", "edition nec-2020", edition.size(), 0},
    {"vocabulary.rules", "vocabulary", vocabulary.size(), 0},
};
const unsigned long embedded_file_count = 2;

EmbeddedTexts::EmbeddedTexts(Tests) {}

std::string EmbeddedTexts::text(unsigned long i) const {
    return std::string(i == 0 ? edition : vocabulary);
}

} // namespace groundrule::book
