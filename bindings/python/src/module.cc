#include "bind.h"

PYBIND11_MODULE(_core, module) {
    module.doc() = "Private: the core of groundrule. Use the package, not this module.";
    binding::bind_error(module);
    binding::bind_report(module);
    binding::bind_book(module);
    binding::bind_text(module);
    binding::bind_adoption(module);
    binding::bind_compare(module);
    binding::bind_audit(module);
    binding::bind_mutation(module);
    binding::bind_answers(module);
}
