// What the parts of the Python module share.
#pragma once

#include <toprail/date.hpp>
#include <toprail/decision.hpp>
#include <toprail/facts.hpp>
#include <toprail/finding.hpp>
#include <toprail/shelf.hpp>
#ifdef TOPRAIL_WITH_BULK
#include <toprail/bulk.hpp>
#endif

#include <pybind11/pybind11.h>
#include <pybind11/stl.h>

#include <string>
#include <vector>

namespace toprail::python {

namespace py = pybind11;

/// Facts from a mapping of names to values: str, int, float, Decimal, bool, datetime.date, None
/// (not known), or a mapping with "value" and "from". Throws TypeError and ValueError.
Facts read_facts(const py::handle& mapping);

/// A str such as "2024-06-01", or a datetime.date. Throws ValueError and TypeError.
Date read_day(const py::handle& day);

/// '; did you mean "tie-off"?', or nothing when none of the known names is near.
std::string meant(const std::string& name, const std::vector<std::string>& known);

/// FindingsError with these findings, not raised.
py::object findings_error(const std::string& what, std::vector<Finding> findings);
/// The same for values of Python that are no facts.
py::object unreadable_facts(const std::string& why);
[[noreturn]] void raise_findings(const std::string& what, std::vector<Finding> findings);

void add_findings(py::module_& module);
void add_decisions(py::module_& module);

#ifdef TOPRAIL_WITH_BULK
BulkPlan make_plan(const Shelf& shelf, const py::object& on, std::vector<std::string> authorities,
                   std::vector<std::string> duties);
void add_plan(py::module_& module);
#endif

}  // namespace toprail::python
