// Plans: very many cases in columns that are read where they lie, without the lock of Python.
// toprail/_columns.py has made out what each column is.
#include "parts.hpp"

#ifdef TOPRAIL_WITH_BULK

#include <toprail/bulk.hpp>

#include <pybind11/numpy.h>

#include <algorithm>
#include <map>
#include <optional>
#include <set>
#include <utility>

namespace toprail::python {
namespace {

constexpr unsigned most_threads = 256;

// A buffer of one dimension whose values lie side by side; held as long as the columns are.
template <class Value>
std::span<const Value> values(const py::handle& object, std::vector<py::buffer_info>& held) {
    const auto buffer = py::reinterpret_borrow<py::buffer>(object);
    const py::buffer_info& info = held.emplace_back(buffer.request());
    if (info.ndim != 1 || info.itemsize != sizeof(Value) ||
        (info.size > 1 && info.strides[0] != info.itemsize)) {
        throw py::value_error("the values of a column do not lie side by side");
    }
    return {static_cast<const Value*>(info.ptr), static_cast<std::size_t>(info.size)};
}

std::string no_such_fact(const BulkPlan& plan, const std::string& name) {
    std::vector<std::string> known;
    for (const BulkFact& fact : plan.facts()) {
        known.push_back(fact.name);
    }
    return "the vocabulary has no fact \"" + name + "\"" + meant(name, known);
}

// Columns as the library takes them, and what they point into. Made and destroyed with the lock.
class Columns {
  public:
    // Tuples of fact, kind, values, unit and texts.
    Columns(const BulkPlan& plan, const py::list& given) : all(plan.facts().size()) {
        held_.reserve(given.size());
        for (const py::handle each : given) {
            const auto column = each.cast<py::tuple>();
            const auto name = column[0].cast<std::string>();
            const auto fact = plan.fact(name);
            if (!fact) {
                throw py::key_error(no_such_fact(plan, name));
            }
            all[*fact] = read(column);
        }
    }

    std::vector<BulkColumn> all;

  private:
    BulkColumn read(const py::tuple& column) {
        const auto kind = column[1].cast<std::string>();
        const py::handle object = column[2];
        auto unit = column[3].cast<std::string>();
        if (kind == "classes") {
            return values<std::uint8_t>(object, held_);
        }
        if (kind == "numbers") {
            return NumberColumn{values<std::int64_t>(object, held_), std::move(unit)};
        }
        if (kind == "reals") {
            return RealColumn{values<double>(object, held_), std::move(unit)};
        }
        if (kind == "codes") {
            return CodedColumn{values<std::int8_t>(object, held_), views(column[4])};
        }
        texts_.push_back(views(object));
        return TextColumn(texts_.back());
    }

    // Views of strings, which are kept: an object column may be changed while the lock is free.
    std::vector<std::string_view> views(const py::handle& list) {
        std::vector<std::string_view> all_views;
        for (const py::handle each : list) {
            Py_ssize_t size = 0;
            const char* bytes = PyUnicode_AsUTF8AndSize(each.ptr(), &size);
            if (bytes == nullptr) {
                throw py::error_already_set();
            }
            if (seen_.insert(each.ptr()).second) {
                strings_.push_back(py::reinterpret_borrow<py::object>(each));
            }
            all_views.emplace_back(bytes, static_cast<std::size_t>(size));
        }
        return all_views;
    }

    std::vector<py::buffer_info> held_;
    std::vector<std::vector<std::string_view>> texts_;
    std::vector<py::object> strings_;
    std::set<const PyObject*> seen_;
};

py::tuple decide(const BulkPlan& plan, const py::object& columns,
                 const std::map<std::string, std::string>& units, const py::object& cases,
                 unsigned threads, bool search, std::size_t budget) {
    const py::tuple told =
        py::module_::import("toprail._columns").attr("read")(columns, units, cases);
    const auto length = told[1].cast<std::size_t>();
    const Columns read(plan, told[0].cast<py::list>());
    py::array_t<std::uint8_t> outcomes(
        {static_cast<py::ssize_t>(plan.duties().size()), static_cast<py::ssize_t>(length)});
    BulkRun run;
    run.search = search;
    run.budget = budget;
    run.threads = std::clamp(threads, 1U, most_threads);
    const std::span<std::uint8_t> bytes{outcomes.mutable_data(),
                                        static_cast<std::size_t>(outcomes.size())};
    BulkReport report;
    {
        const py::gil_scoped_release others_run;
        report = plan.decide(read.all, length, bytes, run);
    }
    return py::make_tuple(outcomes, report.searched, report.without_values, report.no_answer);
}

}  // namespace

BulkPlan make_plan(const Shelf& shelf, const py::object& on, std::vector<std::string> authorities,
                   std::vector<std::string> duties) {
    const Date day = read_day(on);
    PlannedBulk planned;
    {
        const py::gil_scoped_release others_run;
        planned = plan_bulk(shelf, day, {std::move(authorities), std::move(duties)});
    }
    if (!planned.plan) {
        raise_findings("no plan can be made", std::move(planned.findings));
    }
    return *std::move(planned.plan);
}

void add_plan(py::module_& module) {
    py::class_<BulkFact>(module, "PlanFact")
        .def_readonly("fact", &BulkFact::name)
        .def_readonly("used", &BulkFact::used)
        .def_readonly("needs_values", &BulkFact::needs_values)
        .def_readonly("classes", &BulkFact::classes);
    py::class_<BulkPlan>(module, "Plan")
        .def_property_readonly("facts", &BulkPlan::facts)
        .def_property_readonly("duties", &BulkPlan::duties)
        .def(
            "class_of",
            [](const BulkPlan& plan, const std::string& name, const std::string& value) {
                const auto fact = plan.fact(name);
                if (!fact) {
                    throw py::key_error(no_such_fact(plan, name));
                }
                const auto byte = plan.class_of(*fact, value);
                if (!byte) {
                    throw py::value_error("\"" + name + "\" does not take \"" + value + "\"");
                }
                return *byte;
            },
            py::arg("fact"), py::arg("value"))
        .def(
            "decide",
            [](const BulkPlan& plan, const py::object& columns,
               const std::map<std::string, std::string>& units, const py::object& cases,
               unsigned threads, bool search, std::size_t budget) {
                const py::tuple made = decide(plan, columns, units, cases, threads, search, budget);
                return py::module_::import("toprail._columns")
                    .attr("Outcomes")(plan.duties(), *made);
            },
            py::arg("columns"), py::kw_only(),
            py::arg("units") = std::map<std::string, std::string>(), py::arg("cases") = py::none(),
            py::arg("threads") = 1, py::arg("search") = true, py::arg("budget") = BulkRun{}.budget);
    module.attr("has_plans") = true;
}

}  // namespace toprail::python

#endif
