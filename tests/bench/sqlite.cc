// The twenty rules as one SQL query in SQLite, over a table in memory: sqlite DIRECTORY ROWS RUNS
// TABLES.sql QUERY.sql
#include "inventory.h"

#include <fstream>
#include <iterator>
#include <sqlite3.h>

using namespace bench;

namespace {

std::string text_of(const char *path) {
    std::ifstream file(path);
    return {std::istreambuf_iterator<char>(file), {}};
}

void must(sqlite3 *db, int status) {
    if (status == SQLITE_OK)
        return;
    std::fprintf(stderr, "sqlite: %s\n", sqlite3_errmsg(db));
    std::exit(2);
}

sqlite3_stmt *prepared(sqlite3 *db, const std::string &text) {
    sqlite3_stmt *statement = nullptr;
    must(db, sqlite3_prepare_v2(db, text.c_str(), -1, &statement, nullptr));
    return statement;
}

void run(sqlite3 *db, const std::string &text) {
    must(db, sqlite3_exec(db, text.c_str(), nullptr, nullptr, nullptr));
}

void insert(sqlite3 *db, const Inventory &inventory) {
    std::string create = "CREATE TABLE inventory(id INTEGER PRIMARY KEY";
    std::string put = "INSERT INTO inventory VALUES(?";
    for (const Described &d : described) {
        create += std::string(", ") + d.name + (d.kind == Kind::f32 ? " REAL" : " INTEGER");
        put += ", ?";
    }
    run(db, create + ")");
    run(db, "BEGIN");
    sqlite3_stmt *statement = prepared(db, put + ")");
    for (std::size_t row = 0; row < inventory.rows(); ++row) {
        sqlite3_bind_int64(statement, 1, static_cast<sqlite3_int64>(row));
        for (int k = 0; k < column_count; ++k) {
            const auto c = static_cast<Column>(k);
            if (!inventory.known(c, row))
                sqlite3_bind_null(statement, k + 2);
            else if (described[k].kind == Kind::f32)
                sqlite3_bind_double(statement, k + 2, inventory.value(c, row));
            else
                sqlite3_bind_int(statement, k + 2, static_cast<int>(inventory.value(c, row)));
        }
        sqlite3_step(statement);
        sqlite3_reset(statement);
    }
    sqlite3_finalize(statement);
    run(db, "COMMIT");
    run(db, "ANALYZE");
}

} // namespace

int main(int count, char **words) {
    if (count < 6) {
        std::fprintf(stderr, "usage: %s DIRECTORY ROWS RUNS TABLES.sql QUERY.sql\n", words[0]);
        return 2;
    }
    const Call call = call_of(count, words);
    sqlite3 *db = nullptr;
    must(db, sqlite3_open(":memory:", &db));
    run(db, text_of(words[4]));
    insert(db, read(call.directory, call.rows));
    sqlite3_stmt *query = prepared(db, text_of(words[5]));
    std::vector<std::uint8_t> verdicts(call.rows * rule_count);
    const double time = seconds(call.runs, [&] {
        for (std::size_t row = 0; sqlite3_step(query) == SQLITE_ROW; ++row) {
            for (std::size_t rule = 0; rule < rule_count; ++rule)
                verdicts[rule * call.rows + row] =
                    static_cast<std::uint8_t>(sqlite3_column_int(query, static_cast<int>(rule)));
        }
        sqlite3_reset(query);
    });
    tell("sqlite", call.rows, time, checksum(verdicts));
    sqlite3_finalize(query);
    sqlite3_close(db);
}
