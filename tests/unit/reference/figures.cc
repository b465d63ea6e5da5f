#include "reference/figures.h"

#include "quantity/literal.h"

#include <cmath>
#include <filesystem>
#include <fstream>
#include <set>
#include <stdexcept>

namespace reference {

namespace {

using Row = std::map<std::string, std::string>;

std::vector<std::string> fields_of(const std::string &line) {
    std::vector<std::string> out(1);
    bool quoted = false;
    for (const char c : line) {
        if (c == '"')
            quoted = !quoted;
        else if (c == ',' && !quoted)
            out.emplace_back();
        else
            out.back() += c;
    }
    return out;
}

// A size of conductor that the core does not know, such as 1200 kcmil, equals no other.
constexpr double no_known_size = -1;

double value_of(const std::string &text) {
    const LiteralResult read = read_literal(text);
    if (read.fault == LiteralFault::no_such_size)
        return no_known_size;
    if (read.fault != LiteralFault::none || read.literal.size != text.size())
        throw std::runtime_error("no value: " + text);
    return read.literal.value;
}

class Reading {
  public:
    explicit Reading(std::string year) : year_(std::move(year)) {}

    // An empty figure is one that the published table does not have.
    void add(const std::string &name, const std::string &number, const std::string &unit) {
        if (number.empty())
            return;
        const double value = value_of(unit.empty() ? number : number + " " + unit);
        const auto [at, fresh] = out.try_emplace(name, value);
        if (!fresh && std::fabs(at->second - value) > 1e-6)
            throw std::runtime_error("two readings of " + name);
    }
    bool of_this_edition(const Row &row) const { return row.at("edition") == year_; }
    const std::string &year() const { return year_; }

    Figures out;

  private:
    std::string year_;
};

void read_ampacities(Reading &r) {
    for (const Row &row : rows_of("tables/ampacity.csv")) {
        for (const char *heat : {"60", "75", "90"})
            r.add("310.16[" + row.at("size") + ", " + row.at("material") + ", " + heat + " °C]",
                  row.at(std::string("temp_") + heat + "c_a"), "A");
        // The sizes that the whole table speaks of are the circuit conductors.
        if (!row.at("temp_60c_a").empty())
            r.add("conductor sizes[" + row.at("size") + "]", row.at("size"), "");
    }
    for (const Row &row : rows_of("tables/ambient_correction.csv")) {
        for (const char *heat : {"60", "75", "90"})
            r.add("310.15(B)(1)[" + row.at("ambient_max_c") + " °C, " + heat + " °C]",
                  row.at(std::string("factor_") + heat + "c"), "");
    }
    for (const Row &row : rows_of("tables/adjustment.csv"))
        r.add("310.15(C)(1)[" + row.at("conductors_min") + "]", row.at("percent"), "%");
}

void read_overcurrent(Reading &r) {
    for (const Row &row : rows_of("tables/standard_ratings.csv")) {
        const std::string &rating = row.at("rating_a");
        if (row.at("breaker_" + r.year()) == "yes")
            r.add("240.6(A)[" + rating + " A]", rating, "A");
        if (row.at("extra_fuse_rating") == "yes")
            r.add("additional standard ratings of fuses[" + rating + " A]", rating, "A");
    }
    for (const Row &row : rows_of("tables/small_conductor.csv")) {
        if (!r.of_this_edition(row))
            continue;
        const std::string start = "small conductors[" + row.at("size") + ", ";
        if (row.at("material") == "copper") {
            r.add(start + "copper]", row.at("max_ocpd_a"), "A");
            continue;
        }
        // Aluminum stands for copper-clad aluminum too, except where the latter is named.
        r.add(start + "copper_clad_aluminum]", row.at("max_ocpd_a"), "A");
        if (row.at("material") == "aluminum")
            r.add(start + "aluminum]", row.at("max_ocpd_a"), "A");
    }
    for (const Row &row : rows_of("tables/egc.csv")) {
        const std::string start = "250.122[" + row.at("ocpd_not_exceeding_a") + " A, ";
        r.add(start + "copper]", row.at("copper_size"), "");
        r.add(start + "aluminum]", row.at("aluminum_size_" + r.year()), "");
    }
}

void read_outlets(Reading &r) {
    for (const Row &row : rows_of("tables/receptacle_load.csv"))
        r.add("210.21(B)(2)[" + row.at("circuit_rating_a") + " A, " +
                  row.at("receptacle_rating_a") + " A]",
              row.at("max_load_a"), "A");
    for (const Row &row : rows_of("tables/receptacle_rating.csv")) {
        if (!r.of_this_edition(row))
            continue;
        const std::string start = "210.21(B)(3)[" + row.at("circuit_rating_a") + " A].";
        const std::string &listed = row.at("listed_ratings_a");
        const bool open = row.at("receptacle_rating_as_printed_a").starts_with("not over");
        r.add(start + "lowest", open ? "0" : listed.substr(0, listed.find(' ')), "A");
        r.add(start + "highest", listed.substr(listed.find(' ') + 1), "A");
    }
    for (const Row &row : rows_of("tables/branch_circuit.csv")) {
        if (!r.of_this_edition(row))
            continue;
        const std::string rating = row.at("circuit_rating_a") + " A";
        r.add("210.24[" + rating + ", " + row.at("material") + "]", row.at("circuit_wire_min"), "");
        r.add("210.18[" + rating + "]", row.at("circuit_rating_a"), "A");
    }
    for (const Row &row : rows_of("tables/configurations.csv")) {
        const std::string start = "NEMA WD 6[" + row.at("designation") + "R].";
        const std::string &volts = row.at("rated_voltage_as_printed_v");
        r.add(start + "rated_voltage", volts.substr(volts.find('/') + 1), "V");
        r.add(start + "poles", row.at("poles"), "");
        r.add(start + "wires", row.at("wires"), "");
        r.add(start + "rated_current", row.at("amperes_a"), "A");
    }
    for (const Row &row : rows_of("tables/voltage_ranges.csv")) {
        const std::string start = "ANSI C84.1[" + row.at("nominal_v") + " V].";
        r.add(start + "lowest", row.at("service_min_v"), "V");
        r.add(start + "highest", row.at("service_max_v"), "V");
    }
}

std::string box_name(const Row &row) {
    const std::string &type = row.at("type");
    if (type.starts_with("FS") || type.starts_with("FD"))
        return type.substr(0, 2) + (type.find("multiple") == std::string::npos
                                        ? ", one gang, single cover"
                                        : ", one gang of several");
    return row.at("trade_size_in") + " " +
           (type.starts_with("masonry") ? "masonry, one gang" : type);
}

void read_boxes(Reading &r) {
    for (const Row &row : rows_of("tables/box_volume.csv"))
        r.add("314.16(A)[" + box_name(row) + "]", row.at("min_volume_in3"), "in³");
    for (const Row &row : rows_of("tables/conductor_volume.csv"))
        r.add("314.16(B)[" + row.at("size") + "]", row.at("volume_in3"), "in³");
    for (const Row &row : rows_of("tables/conductor_properties.csv"))
        r.add("Chapter 9 Table 8[" + row.at("size") + "]", row.at("circular_mils"), "cmil");
}

// Which limits a line of the reading of support distances speaks of.
struct Spoken {
    const char *clause; // begins so
    const char *what;   // begins so
    std::vector<const char *> limits;
};

const std::vector<Spoken> &spoken() {
    static const std::vector<Spoken> all = {
        {"334.30", "interval between", {"nm_cable_supports.spacing"}},
        {"334.30", "distance from", {"nm_cable_supports.from_box"}},
        {"334.30", "cable length between", {"nm_cable_supports.along_cable"}},
        {"334.30(B)(2)", "unsupported length", {"nm_cable_supports.spacing"}},
        {"314.17", "distance along sheath", {"cable_secured_to_nonmetallic_box.fastened"}},
        {"314.17",
         "cable sheath inside",
         {"sheath_in_metal_box.inside", "sheath_in_nonmetallic_box.inside",
          "cable_secured_to_nonmetallic_box.inside"}},
        {"300.4(A)(1)", "edge of bored hole", {"bored_holes.edge"}},
        {"300.4(A)(1)", "thickness", {"bored_holes.steel"}},
        {"300.4(A)(2)", "thickness", {"notches.steel"}},
        {"300.4(D)", "cable parallel", {"parallel_to_framing.edge"}},
        {"300.4(D)", "thickness", {"parallel_to_framing.steel"}},
        {"300.14", "free conductor", {"free_conductor.free"}},
        {"300.14", "opening dimension", {"free_conductor.small_opening"}},
        {"300.14", "conductor outside", {"free_conductor.beyond"}},
    };
    return all;
}

bool is_spoken_of(const std::string &topic) {
    for (const Spoken &s : spoken()) {
        for (const char *limit : s.limits) {
            if (std::string(limit).starts_with(topic + "."))
                return true;
        }
    }
    return false;
}

void read_distances(Reading &r) {
    for (const Row &row : rows_of("tables/support_distances.csv")) {
        if (!r.of_this_edition(row))
            continue;
        bool used = false;
        for (const Spoken &s : spoken()) {
            if (!row.at("clause").starts_with(s.clause) || !row.at("what").starts_with(s.what))
                continue;
            used = true;
            for (const char *limit : s.limits)
                r.add(limit, row.at("distance_in"), "in");
        }
        if (used)
            continue;
        std::string name = row.at("clause");
        name.append(", ").append(row.at("what")).append(", ").append(row.at("comparison"));
        r.add(name, row.at("distance_in"), "in");
    }
}

// The readings of figures/, whose rows call each figure by its name here.
const std::vector<Row> &rows_by_name() {
    static const std::vector<Row> all = [] {
        std::set<std::filesystem::path> files;
        for (const auto &entry : std::filesystem::directory_iterator(
                 std::string(GROUNDRULE_SOURCE_DIR) + "/tests/reference/figures"))
            files.insert(entry.path());
        std::vector<Row> rows;
        for (const auto &file : files) {
            const std::vector<Row> more = rows_of("figures/" + file.filename().string());
            rows.insert(rows.end(), more.begin(), more.end());
        }
        return rows;
    }();
    return all;
}

void read_by_name(Reading &r) {
    for (const Row &row : rows_by_name()) {
        if (row.at("edition") == "all" || r.of_this_edition(row))
            r.add(row.at("figure"), row.at("value"), "");
    }
}

bool is_read_by_name(const std::string &limit) {
    static const std::set<std::string> names = [] {
        std::set<std::string> out;
        for (const Row &row : rows_by_name())
            out.insert(row.at("figure"));
        return out;
    }();
    return names.contains(limit);
}

} // namespace

std::vector<Row> rows_of(const std::string &file) {
    std::ifstream in(std::string(GROUNDRULE_SOURCE_DIR) + "/tests/reference/" + file);
    std::vector<std::string> head;
    std::vector<Row> out;
    for (std::string line; std::getline(in, line);) {
        if (line.empty() || line.front() == '#')
            continue;
        const std::vector<std::string> fields = fields_of(line);
        if (head.empty()) {
            head = fields;
            continue;
        }
        if (fields.size() != head.size())
            throw std::runtime_error("wrong number of fields: " + line);
        Row &row = out.emplace_back();
        for (std::size_t i = 0; i < head.size(); ++i)
            row[head[i]] = fields[i];
    }
    if (out.empty())
        throw std::runtime_error(file + " has no rows");
    return out;
}

Figures encoded(const book::Book &book, const Written &written) {
    Figures out;
    for (const book::Table &t : written.tables) {
        const std::size_t columns = t.columns.empty() ? 1 : t.columns.size();
        for (std::size_t i = 0; i < t.cells.size(); ++i) {
            if (std::isnan(t.cells[i]))
                continue;
            std::string keys;
            std::size_t rest = i / columns;
            for (std::size_t k = t.keys.size(); k-- > 0;) {
                const std::size_t at = rest % t.counts[k];
                rest /= t.counts[k];
                keys.insert(0, book::value_text(book, t.keys[k].type, t.keys[k].values[at]) +
                                   (keys.empty() ? "" : ", "));
            }
            std::string name = t.declared;
            name.append("[").append(keys).append("]");
            if (columns > 1)
                name.append(".").append(t.columns[i % columns]);
            out[name] = t.cells[i];
        }
    }
    for (const book::List &l : written.lists) {
        for (const double value : l.values)
            out[l.declared + "[" + book::value_text(book, l.type, value) + "]"] = value;
    }
    for (const book::Rule &rule : written.rules) {
        for (const book::Limit &limit : rule.limits) {
            const std::string name = rule.topic + "." + limit.name;
            if (!limit.reading && (is_spoken_of(rule.topic) || is_read_by_name(name)))
                out[name] = limit.value;
        }
    }
    return out;
}

Figures published(const std::string &year) {
    Reading r(year);
    read_ampacities(r);
    read_overcurrent(r);
    read_outlets(r);
    read_boxes(r);
    read_distances(r);
    read_by_name(r);
    return r.out;
}

std::vector<Difference> differences(const Figures &book, const Figures &reading) {
    std::vector<Difference> out;
    for (const auto &[name, value] : book) {
        const auto other = reading.find(name);
        if (other == reading.end())
            out.push_back({name, Difference::Side::book});
        else if (std::fabs(other->second - value) > 1e-6)
            out.push_back({name, Difference::Side::both});
    }
    for (const auto &[name, value] : reading) {
        if (!book.contains(name))
            out.push_back({name, Difference::Side::reading});
    }
    return out;
}

} // namespace reference
