// Rules and jobs that nobody wrote: well-typed expressions of every form over crates and pieces,
// from a seed.

#pragma once

#include "trial.h"

#include <nlohmann/json.hpp>

#include <cstdint>
#include <random>
#include <string>
#include <utility>

namespace generated {

using Json = nlohmann::json;

// Expressions over crates and their pieces, by type. What is written has brackets throughout.
class Writer {
  public:
    explicit Writer(std::uint32_t seed) : random_(seed) {}

    std::string truth(int depth) {
        const std::string leaves[] = {"sealed",
                                      "approved",
                                      "colour is red",
                                      "colour is not one of (red, blue)",
                                      "wire at least 8 AWG",
                                      "made less than 2021-01-01",
                                      "complete(pieces)"};
        if (depth == 0)
            return pick(leaves);
        const int d = depth - 1;
        switch (below(13)) {
        case 0:
            return "(" + truth(d) + " and " + truth(d) + ")";
        case 1:
            return "(" + truth(d) + " or " + truth(d) + ")";
        case 2:
            return "not (" + truth(d) + ")";
        case 3:
            return "(" + current(d) + " at least " + current(d) + ")";
        case 4:
            return "(" + current(d) + " less than " + current(d) + ")";
        case 5:
            return "(" + current(d) + " = " + current(d) + ")";
        case 6:
            return "(" + current(d) + " from " + current(0) + " to " + current(d) + ")";
        case 7:
            return "(if " + truth(d) + " then " + truth(d) + " otherwise " + truth(d) + ")";
        case 8:
            return "any(p in pieces where " + piece_truth(d) + " : " + piece_truth(d) + ")";
        case 9:
            return "all(p in pieces where " + piece_truth(d) + " : " + piece_truth(d) + ")";
        case 10:
            return "(count(p in pieces where " + piece_truth(d) + ") at most 1)";
        case 11:
            return "(count(p in pieces) more than 1)";
        default:
            return pick(leaves);
        }
    }

    std::string current(int depth) {
        const std::string leaves[] = {"load", "rating", "10 A", "20 A", "0 A"};
        if (depth == 0)
            return pick(leaves);
        const int d = depth - 1;
        switch (below(14)) {
        case 0:
            return "(" + current(d) + " + " + current(d) + ")";
        case 1:
            return "(" + current(d) + " - " + current(d) + ")";
        case 2:
            return "(" + current(d) + " * 125 %)";
        case 3:
            return "(" + current(d) + " * (0 - 1))";
        case 4:
            return "(" + current(d) + " / 2)";
        case 5:
            return "larger_of(" + current(d) + ", " + current(d) + ")";
        case 6:
            return "smaller_of(" + current(d) + ", " + current(d) + ", " + current(d) + ")";
        case 7:
            return "(if " + truth(d) + " then " + current(d) + " otherwise " + current(d) + ")";
        case 8:
            return "sum(p in pieces where " + piece_truth(d) + " : p.draw)";
        case 9:
            return "max(p in pieces : " + piece_current(d) + ")";
        case 10:
            return "min(p in pieces where " + piece_truth(d) + " : " + piece_current(d) + ")";
        case 11:
            return "smallest(s in list \"steps\" where s at least " + current(d) + " or " +
                   truth(0) + ")";
        case 12:
            return "table 310.16 [" + current(d) + "]";
        default:
            return "round_up(" + current(d) + " to 5 A)";
        }
    }

    std::string rule(int number) {
        const std::string n = std::to_string(number);
        std::string out = "rule 1." + n + " \"R\"\n  topic topic_" + n + "\n  for crate\n";
        if (number > 1 && below(3) == 0)
            out += "  where applies(topic_" + std::to_string(1 + below(number - 1)) + ")\n";
        out += "  where " + truth(2) + "\n";
        const int form = below(3);
        if (form == 0)
            out += "  shall " + truth(3) + "\n  says \"x\"\n";
        else
            out += std::string("  says \"x\"\n  ") + (form == 1 ? "path" : "permits") +
                   " (1) \"A\" where " + truth(2) + "\n  " + (form == 1 ? "path" : "permits") +
                   " (2) \"B\" where " + truth(2) + "\n";
        if (below(2) == 0)
            out += "  listed (3) \"L\" where " + truth(1) + "\n";
        if (below(2) == 0)
            out += "  except 1 \"E\" where " + truth(2) + "\n";
        if (below(4) == 0)
            out += "  except 2 not encoded \"N\" where " + truth(1) + "\n";
        return out + "\n";
    }

    Json crate() {
        Json out = Json::object();
        const auto add = [&](const char *field, Json value) {
            if (below(4) != 0)
                out[field] = std::move(value);
        };
        add("load", amps());
        add("rating", amps());
        add("sealed", below(2) == 0);
        add("approved", below(2) == 0);
        add("colour", below(2) == 0 ? "red" : "green");
        add("wire", below(2) == 0 ? "6 AWG" : "10 AWG");
        add("made", below(2) == 0 ? "2020-05-05" : "2022-05-05");
        out["pieces"] = Json::array();
        for (int i = below(3); i > 0; --i) {
            Json piece = Json::object();
            if (below(4) != 0)
                piece["draw"] = amps();
            if (below(4) != 0)
                piece["loose"] = below(2) == 0;
            out["pieces"].push_back(std::move(piece));
        }
        if (below(2) == 0)
            out["complete"] = {"pieces"};
        return out;
    }

  private:
    int below(int n) { return static_cast<int>(random_() % static_cast<std::uint32_t>(n)); }
    std::string amps() { return std::to_string(5 * below(6)) + " A"; }

    template <std::size_t n>
    std::string pick(const std::string (&words)[n]) {
        return words[below(static_cast<int>(n))];
    }

    std::string piece_truth(int depth) {
        if (depth == 0 || below(3) == 0)
            return "p.loose";
        return below(2) == 0 ? "(p.draw at least " + current(0) + ")"
                             : "(p.loose or " + truth(0) + ")";
    }

    std::string piece_current(int depth) {
        return depth == 0 || below(2) == 0 ? "p.draw" : "(p.draw - " + current(0) + ")";
    }

    std::mt19937 random_;
};

inline const std::string figures = "list \"steps\" \"Steps\" of current\n  = 5 A, 10 A, 20 A\n\n"
                                   "table 310.16 \"T\"\n  gives current\n  by a : current at most\n"
                                   "  5 A | 10 A\n  15 A | --\n  20 A | 25 A\n\n";

// A word that implies others.
inline const std::string implying = trial::vocabulary +
                                    "\nimply crate \"What a colour says\"\n"
                                    "  sealed = if colour is red then yes otherwise unknown\n"
                                    "  wire   = if colour is green then 6 AWG otherwise unknown\n";

} // namespace generated
