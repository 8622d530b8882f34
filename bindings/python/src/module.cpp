// The module: shelves, deciding, receipts.
#include "parts.hpp"

#include <toprail/shelf.hpp>
#ifdef TOPRAIL_WITH_RECEIPTS
#include <toprail/receipt.hpp>
#endif

#include <algorithm>
#include <map>
#include <optional>
#include <tuple>
#include <utility>
#include <variant>

namespace toprail::python {
namespace {

// The shelf, with what is to be known of it: warnings and notes.
py::object usable(LoadedShelf loaded) {
    if (!loaded.shelf) {
        raise_findings("the rulepacks cannot be used", std::move(loaded.findings));
    }
    py::object shelf = py::cast(*std::move(loaded.shelf));
    shelf.attr("findings") = py::tuple(py::cast(std::move(loaded.findings)));
    return shelf;
}

py::object load(const std::vector<std::string>& folders) {
    LoadedShelf loaded;
    {
        const py::gil_scoped_release others_run;
        loaded = load_folders(folders);
    }
    return usable(std::move(loaded));
}

py::object load_texts(const std::map<std::string, std::string>& texts, bool skip_others) {
    std::vector<SourceText> sources;
    for (const auto& [name, text] : texts) {
        sources.push_back({name, text, skip_others});
    }
    LoadedShelf loaded;
    {
        const py::gil_scoped_release others_run;
        loaded = load_shelf(std::move(sources));
    }
    return usable(std::move(loaded));
}

DecideOptions decide_options(std::vector<std::string> authorities, std::size_t budget) {
    DecideOptions how;
    how.authorities = std::move(authorities);
    how.budget = budget;
    return how;
}

Decision decide(const Shelf& shelf, const py::object& facts, const py::object& on,
                std::vector<std::string> authorities, std::size_t budget) {
    const Facts about = read_facts(facts);
    const Date day = read_day(on);
    const DecideOptions how = decide_options(std::move(authorities), budget);
    Answer answer;
    {
        const py::gil_scoped_release others_run;
        answer = shelf.decide(about, day, how);
    }
    if (!answer.decision) {
        raise_findings("the facts cannot be used", std::move(answer.findings));
    }
    return *std::move(answer.decision);
}

// Facts, or the FindingsError that says why Python's values are none.
std::variant<Facts, py::object> facts_or_error(const py::handle& mapping) {
    try {
        return read_facts(mapping);
    } catch (py::builtin_exception& wrong) {
        return unreadable_facts(wrong.what());
    } catch (py::error_already_set& wrong) {
        // A text that has no UTF-8 is a ValueError. What does not speak of the value goes on.
        if (!wrong.matches(PyExc_ValueError)) {
            throw;
        }
        return unreadable_facts(py::str(wrong.value()));
    }
}

// One answer for each case, in order: a case that cannot be used does not hold up the others.
py::list decide_many(const Shelf& shelf, const py::iterable& cases, const py::object& on,
                     std::vector<std::string> authorities, std::size_t budget) {
    std::vector<std::variant<Facts, py::object>> all;
    for (const py::handle each : cases) {
        all.push_back(facts_or_error(each));
    }
    const Date day = read_day(on);
    const DecideOptions how = decide_options(std::move(authorities), budget);
    std::vector<Answer> answers;
    {
        const py::gil_scoped_release others_run;
        answers.resize(all.size());
        for (std::size_t i = 0; i < all.size(); ++i) {
            if (const Facts* facts = std::get_if<Facts>(&all[i])) {
                answers[i] = shelf.decide(*facts, day, how);
            }
        }
    }
    py::list told;
    for (std::size_t i = 0; i < all.size(); ++i) {
        Answer& answer = answers[i];
        if (const py::object* error = std::get_if<py::object>(&all[i])) {
            told.append(*error);
        } else if (answer.decision) {
            told.append(py::cast(*std::move(answer.decision)));
        } else {
            told.append(findings_error("the facts cannot be used", std::move(answer.findings)));
        }
    }
    return told;
}

void add_shelf(py::module_& module) {
    const std::size_t budget = DecideOptions{}.budget;
    py::class_<Shelf>(module, "Shelf", py::dynamic_attr())
        .def("decide", &decide, py::arg("facts"), py::arg("on"), py::kw_only(),
             py::arg("authorities") = std::vector<std::string>(), py::arg("budget") = budget)
        .def("decide_many", &decide_many, py::arg("cases"), py::arg("on"), py::kw_only(),
             py::arg("authorities") = std::vector<std::string>(), py::arg("budget") = budget)
#ifdef TOPRAIL_WITH_BULK
        .def("plan", &make_plan, py::arg("on"), py::kw_only(),
             py::arg("authorities") = std::vector<std::string>(),
             py::arg("duties") = std::vector<std::string>())
#endif
        .def("duties", [](const Shelf& shelf) {
            std::vector<std::string> names;
            for (const DutyInfo& duty : shelf.duties()) {
                names.push_back(duty.name);
            }
            return names;
        });
    module.def("load", [](const py::args& folders) {
        return load(folders.cast<std::vector<std::string>>());
    });
    module.def("load_texts", &load_texts, py::arg("texts"), py::kw_only(),
               py::arg("skip_others") = false);
}

#ifdef TOPRAIL_WITH_RECEIPTS

py::bytes make_receipt(const ReceiptMaker& maker, const py::object& facts, const py::object& on,
                       const std::string& case_name, std::vector<std::string> authorities,
                       std::size_t budget, const std::optional<py::bytes>& seed) {
    const Facts about = read_facts(facts);
    const Date day = read_day(on);
    const DecideOptions how = decide_options(std::move(authorities), budget);
    ReceiptOptions options;
    if (seed) {
        const std::string bytes = *seed;
        if (bytes.size() != std::tuple_size_v<Seed>) {
            throw py::value_error("a seed has 32 bytes");
        }
        std::copy(bytes.begin(), bytes.end(), options.seed.emplace().begin());
    }
    MadeReceipt made;
    {
        const py::gil_scoped_release others_run;
        made = maker.make(about, day, how, case_name, options);
    }
    if (!made.decision) {
        raise_findings("the facts cannot be used", std::move(made.findings));
    }
    return py::bytes(made.text);
}

void add_receipts(py::module_& module) {
    py::class_<ReceiptMaker>(module, "ReceiptMaker")
        .def(py::init<const Shelf&>(), py::arg("shelf"))
        .def("make", &make_receipt, py::arg("facts"), py::arg("on"), py::arg("case_name") = "",
             py::kw_only(), py::arg("authorities") = std::vector<std::string>(),
             py::arg("budget") = DecideOptions{}.budget, py::arg("seed") = py::none());
}

#endif

}  // namespace
}  // namespace toprail::python

PYBIND11_MODULE(_core, module) {
    using namespace toprail::python;
    module.attr("__version__") = TOPRAIL_VERSION;
    add_findings(module);
    add_decisions(module);
    add_shelf(module);
#ifdef TOPRAIL_WITH_BULK
    add_plan(module);
#else
    module.attr("has_plans") = false;
#endif
#ifdef TOPRAIL_WITH_RECEIPTS
    add_receipts(module);
    module.attr("has_receipts") = true;
#else
    module.attr("has_receipts") = false;
#endif
}
