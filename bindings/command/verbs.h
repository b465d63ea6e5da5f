// The verbs, one file each. Each adds itself to the command line; when it is chosen it does its
// work and leaves its exit status.
#pragma once

namespace CLI {
class App;
}

namespace command {

void add_audit(CLI::App &app, int &status);
void add_check(CLI::App &app, int &status);
void add_test(CLI::App &app, int &status);
void add_lint(CLI::App &app, int &status);
void add_format(CLI::App &app, int &status);
void add_books(CLI::App &app, int &status);
void add_describe(CLI::App &app, int &status);
void add_show(CLI::App &app, int &status);
void add_adoption(CLI::App &app, int &status);
void add_compare(CLI::App &app, int &status);
void add_mutate(CLI::App &app, int &status);
void add_explain(CLI::App &app, int &status);
void add_ask(CLI::App &app, int &status);
void add_remedy(CLI::App &app, int &status);
void add_largest(CLI::App &app, int &status);
void add_schema(CLI::App &app, int &status);

} // namespace command
