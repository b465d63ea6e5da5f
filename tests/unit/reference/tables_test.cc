// Every figure of every table and list of a book, and the distances that its rules name, against
// readings of published copies that were made without sight of the rules. Where a reading rests on
// memory its file says so: such a figure fails here too, but does not settle who is right.

#include "reference/figures.h"

#include "trial.h"

#include <cmath>
#include <set>

#include "catch.h"

namespace {

using namespace reference;

const std::vector<std::string> years = {"2017", "2020", "2023"};

std::string side_name(Difference::Side side) {
    if (side == Difference::Side::book)
        return "book";
    return side == Difference::Side::reading ? "reading" : "both";
}

// The differences that differences.csv does not explain; `used` collects its lines that explain
// some.
std::vector<std::string> unexplained(const std::vector<Difference> &all, const std::string &year,
                                     std::set<std::size_t> *used = nullptr) {
    static const auto told = rows_of("differences.csv");
    std::vector<std::string> out;
    for (const Difference &d : all) {
        bool explained = false;
        for (std::size_t i = 0; i < told.size() && d.side != Difference::Side::both; ++i) {
            const auto &line = told[i];
            if ((line.at("edition") != "all" && line.at("edition") != year) ||
                line.at("side") != side_name(d.side) || !d.figure.starts_with(line.at("figure")))
                continue;
            explained = true;
            if (used != nullptr)
                used->insert(i);
        }
        if (!explained)
            out.push_back(d.figure + " (" + side_name(d.side) + ")");
    }
    return out;
}

std::vector<std::string> compared(const book::Book &book, const Written &written,
                                  const Figures &reading, const std::string &year) {
    return unexplained(differences(encoded(book, written), reading), year);
}

} // namespace

TEST_CASE("reference: every figure of a book equals its second reading, or is told apart") {
    const auto told = rows_of("differences.csv");
    std::set<std::size_t> used;
    for (const std::string &year : years) {
        const book::Opened opened = book::open_book("nec-" + year);
        REQUIRE(opened.book);
        const Figures figures = encoded(*opened.book, Written(*opened.book));
        CHECK(figures.size() > 350);
        INFO(year);
        const std::vector<std::string> left =
            unexplained(differences(figures, published(year)), year, &used);
        CAPTURE(left);
        CHECK(left.empty());
    }
    for (std::size_t i = 0; i < told.size(); ++i) {
        INFO(told[i].at("figure") << " explains nothing");
        CHECK(used.contains(i));
        CHECK_FALSE(told[i].at("reason").empty());
    }
}

TEST_CASE("reference: a changed figure is found wherever it stands") {
    for (const std::string &year : years) {
        const book::Opened opened = book::open_book("nec-" + year);
        REQUIRE(opened.book);
        const Figures reading = published(year);
        Written written(*opened.book);
        const Figures whole = encoded(*opened.book, written);
        std::size_t shared = 0;
        for (const auto &[name, value] : whole)
            shared += reading.contains(name) ? 1 : 0;
        const auto changed = [](double figure) {
            return figure > 0 ? figure - 1
                              : figure + 1; // the largest conductor size has none above
        };

        std::vector<double *> figures; // whose names stay when they change
        for (book::Table &t : written.tables) {
            for (double &cell : t.cells)
                figures.push_back(&cell);
        }
        for (book::Rule &rule : written.rules) {
            for (book::Limit &limit : rule.limits)
                figures.push_back(&limit.value);
        }
        std::size_t found = 0;
        // Each is told apart from its neighbours; one at a time would take a minute.
        constexpr std::size_t apart = 40;
        for (std::size_t first = 0; first < apart; ++first) {
            std::vector<std::pair<double *, double>> kept;
            for (std::size_t i = first; i < figures.size(); i += apart) {
                kept.emplace_back(figures[i], *figures[i]);
                *figures[i] = changed(*figures[i]);
            }
            found += compared(*opened.book, written, reading, year).size();
            for (const auto &[figure, value] : kept)
                *figure = value;
        }
        // A value of a list is its own name.
        for (book::List &l : written.lists) {
            for (double &value : l.values) {
                const double kept = value;
                value = changed(value);
                found += compared(*opened.book, written, reading, year).empty() ? 0 : 1;
                value = kept;
            }
        }
        INFO(year);
        CHECK(found == shared);
    }
}

TEST_CASE("reference: a figure that an amendment changes is found, and no other") {
    const std::vector<std::pair<std::string, std::string>> changes = {
        {"change table 310.16 [8 AWG, copper, 60 °C] from 40 A to 35 A",
         "310.16[8 AWG, copper, 60 °C] (both)"},
        {"change table 210.21(B)(3) [40 A].highest from 50 A to 40 A",
         "210.21(B)(3)[40 A].highest (both)"},
        {"change along_cable of rule 334.30 from 18 in to 12 in",
         "nm_cable_supports.along_cable (both)"},
    };
    for (const auto &[change, figure] : changes) {
        INFO(change);
        const trial::Compiled c = trial::compiled(book::open_book(
            "nec-2020+wrong",
            {{"wrong.rules",
              "amendment wrong to nec-2020\n  title \"A wrong figure\"\n\n" + change + "\n"}}));
        CHECK(compared(*c.book, Written(*c.book), published("2020"), "2020") ==
              std::vector<std::string>{figure});
    }
}

TEST_CASE("reference: circular mils are those of ASTM B258, to the last digit printed") {
    // Diameter 0.005 in × 92^((36 − n) / 39), given to a tenth of a mil; its square is printed to
    // ten circular mils, from 1/0 AWG on to a hundred.
    const book::Opened opened = book::open_book("nec-2020");
    REQUIRE(opened.book);
    const Figures figures = encoded(*opened.book, Written(*opened.book));
    const std::vector<std::pair<std::string, int>> gauges = {
        {"18 AWG", 18}, {"16 AWG", 16}, {"14 AWG", 14},  {"12 AWG", 12},  {"10 AWG", 10},
        {"8 AWG", 8},   {"6 AWG", 6},   {"4 AWG", 4},    {"3 AWG", 3},    {"2 AWG", 2},
        {"1 AWG", 1},   {"1/0 AWG", 0}, {"2/0 AWG", -1}, {"3/0 AWG", -2}, {"4/0 AWG", -3}};
    for (const auto &[name, number] : gauges) {
        const double mils = std::round(50.0 * std::pow(92.0, (36 - number) / 39.0)) / 10;
        const double digit = number > 0 ? 10 : 100;
        INFO(name);
        CHECK(figures.at("Chapter 9 Table 8[" + name + "]") ==
              std::round(mils * mils / digit) * digit);
    }
}

TEST_CASE("reference: resistances are those of annealed copper and of aluminum for conductors") {
    // At 20 °C, in ohm-cmil per ft: copper of 100 % IACS 10.371, aluminum of 61 % IACS 17.002.
    // Their temperature coefficients at 20 °C are 0.00393 and 0.00403. Stranding adds 2 %, at
    // most 4.
    for (const auto &row : rows_of("tables/conductor_properties.csv")) {
        const double stranding = row.at("strands") == "1" ? 1.0 : 1.02;
        const double mils = std::stod(row.at("circular_mils"));
        const double copper = 10.371 * (1 + 0.00393 * 55) / mils * 1000 * stranding;
        const double aluminum = 17.002 * (1 + 0.00403 * 55) / mils * 1000 * stranding;
        INFO(row.at("size"));
        const auto near = [](double printed, double law) {
            return std::fabs(printed - law) <= 0.02 * law;
        };
        CHECK(near(std::stod(row.at("copper_uncoated_ohm_per_kft")), copper));
        CHECK(near(std::stod(row.at("aluminum_ohm_per_kft")), aluminum));
    }
}

TEST_CASE("reference: areas of raceways and conductors are π/4 of their diameters' squares") {
    // To the last digit printed. Rounded otherwise than the law: the area of IMC 2, which
    // is 3.6305, and a bare 12 AWG stranded conductor, which is 0.00665.
    const auto area = [](const std::string &diameter) {
        return std::acos(-1.0) / 4 * std::pow(std::stod(diameter), 2);
    };
    const auto far = [](double printed, double law, double digit) {
        return std::fabs(printed - law) > 0.5 * digit + 1e-9;
    };
    std::vector<std::string> otherwise;
    for (const auto &row : rows_of("figures/raceway_diameters.csv")) {
        const double law = area(row.at("value"));
        if (far(std::stod(row.at("area_in2")), law, 0.001) ||
            far(std::stod(row.at("over_two_in2")), 0.4 * law, 0.001))
            otherwise.push_back(row.at("figure"));
    }
    for (const auto &row : rows_of("figures/insulated_conductor_areas.csv")) {
        if (far(std::stod(row.at("value")), area(row.at("diameter_in")), 0.0001))
            otherwise.push_back(row.at("figure"));
    }
    for (const auto &row : rows_of("figures/bare_conductor_areas.csv")) {
        if (far(std::stod(row.at("value")), area(row.at("diameter_in")), 0.001))
            otherwise.push_back(row.at("figure"));
    }
    CHECK(otherwise ==
          std::vector<std::string>{"Chapter 9 Table 4[2, imc]",
                                   "Chapter 9 Table 8, overall area[12 AWG, bare_stranded]"});
}
