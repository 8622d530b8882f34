// Facts, days and findings between Python and the library.
#include "parts.hpp"

#include <cmath>

namespace toprail::python {
namespace {

// Digits of a number without an exponent: what Python calls its repr reads back as the same number.
std::string digits(const py::handle& number) {
    const py::object decimal =
        py::module_::import("decimal").attr("Decimal")(py::str(py::repr(number)));
    return py::str(decimal.attr("__format__")("f"));
}

// A str in UTF-8; one that has no such form (half of a surrogate pair) is Python's own error.
std::string utf8(const py::handle& text, const std::string& what) {
    if (!py::isinstance<py::str>(text)) {
        throw py::type_error(what + " is a str");
    }
    Py_ssize_t size = 0;
    const char* bytes = PyUnicode_AsUTF8AndSize(text.ptr(), &size);
    if (bytes == nullptr) {
        throw py::error_already_set();
    }
    return {bytes, static_cast<std::size_t>(size)};
}

[[noreturn]] void wrong_type(const std::string& name, const py::handle& value) {
    throw py::type_error("the value of \"" + name + "\" is of type " +
                         std::string(py::str(py::type::handle_of(value).attr("__name__"))) +
                         "; give str, int, float, Decimal, bool, datetime.date or None");
}

bool is_a(const py::handle& value, const char* module, const char* type) {
    return py::isinstance(value, py::module_::import(module).attr(type));
}

std::string read_value(const std::string& name, const py::handle& value) {
    if (value.is_none()) {
        return "not known";
    }
    // Before int: a bool is an int as well.
    if (py::isinstance<py::bool_>(value)) {
        return value.cast<bool>() ? "yes" : "no";
    }
    if (py::isinstance<py::str>(value)) {
        return utf8(value, "the value of \"" + name + "\"");
    }
    if (py::isinstance<py::int_>(value)) {
        return py::str(value);
    }
    if (py::isinstance<py::float_>(value)) {
        if (!std::isfinite(value.cast<double>())) {
            throw py::value_error("the value of \"" + name + "\" is no finite number");
        }
        return digits(value);
    }
    if (is_a(value, "datetime", "datetime")) {
        wrong_type(name, value);
    }
    if (is_a(value, "datetime", "date")) {
        return py::str(value.attr("isoformat")());
    }
    if (is_a(value, "decimal", "Decimal")) {
        return py::str(value.attr("__format__")("f"));
    }
    wrong_type(name, value);
}

py::object& error_type() {
    // Never destroyed: Python may be gone before static objects are.
    static auto* const type = new py::object;
    return *type;
}

}  // namespace

Facts read_facts(const py::handle& mapping) {
    if (!py::isinstance(mapping, py::module_::import("collections.abc").attr("Mapping"))) {
        throw py::type_error("facts are a mapping of names to values");
    }
    Facts facts;
    for (const py::handle entry : mapping.attr("items")()) {
        const auto pair = py::reinterpret_borrow<py::tuple>(entry);
        const std::string name = utf8(pair[0], "the name of a fact");
        const py::object value = pair[1];
        if (!py::isinstance<py::dict>(value)) {
            facts.set(name, read_value(name, value));
            continue;
        }
        const auto told = value.cast<py::dict>();
        for (const auto& part : told) {
            const std::string key = utf8(part.first, "a key of \"" + name + "\"");
            if (key != "value" && key != "from") {
                throw py::value_error("\"" + name + "\" has a key \"" + key +
                                      "\"; a fact may have value and from");
            }
        }
        const std::string from = told.contains("from")
                                     ? utf8(told["from"], "the source of \"" + name + "\"")
                                     : std::string();
        facts.set(name, read_value(name, told.attr("get")("value")), from);
    }
    return facts;
}

Date read_day(const py::handle& day) {
    std::string text;
    if (py::isinstance<py::str>(day)) {
        text = utf8(day, "the deciding date");
    } else if (is_a(day, "datetime", "date") && !is_a(day, "datetime", "datetime")) {
        text = py::str(day.attr("isoformat")());
    } else {
        throw py::type_error(
            "the deciding date is a str such as \"2024-06-01\" or a datetime.date");
    }
    const auto read = Date::parse(text);
    if (!read) {
        throw py::value_error("\"" + text +
                              "\" is not an existing day from 1800 to 2200; write 2024-06-01");
    }
    return *read;
}

py::object findings_error(const std::string& what, std::vector<Finding> findings) {
    std::string message = what;
    for (const Finding& finding : findings) {
        message += "\n" + render_text(finding);
    }
    py::object error = error_type()(message);
    error.attr("findings") = py::tuple(py::cast(std::move(findings)));
    return error;
}

py::object unreadable_facts(const std::string& why) {
    Finding finding;
    finding.code = "unreadable-fact";
    finding.message = why;
    return findings_error("the facts cannot be used", {std::move(finding)});
}

void raise_findings(const std::string& what, std::vector<Finding> findings) {
    const py::object error = findings_error(what, std::move(findings));
    PyErr_SetObject(error_type().ptr(), error.ptr());
    throw py::error_already_set();
}

void add_findings(py::module_& module) {
    py::class_<Finding>(module, "Finding")
        .def_property_readonly("code", [](const Finding& f) { return std::string(f.code); })
        .def_property_readonly("severity",
                               [](const Finding& f) { return std::string(word(f.severity)); })
        .def_property_readonly("file", [](const Finding& f) { return f.place.file; })
        .def_property_readonly("line", [](const Finding& f) { return f.place.line; })
        .def_property_readonly("column", [](const Finding& f) { return f.place.column; })
        .def_property_readonly("length", [](const Finding& f) { return f.place.length; })
        .def_property_readonly("source_line", [](const Finding& f) { return f.place.text; })
        .def_readonly("message", &Finding::message)
        .def_readonly("help", &Finding::help)
        .def("__str__", [](const Finding& f) { return render_text(f); })
        .def("__repr__", [](const Finding& f) {
            return "<Finding " + std::string(f.code) + ": " + f.message + ">";
        });
    error_type() = py::reinterpret_steal<py::object>(PyErr_NewExceptionWithDoc(
        "toprail.FindingsError", "Packs or facts cannot be used; `findings` says why and where.",
        PyExc_ValueError, nullptr));
    error_type().attr("findings") = py::tuple();
    module.attr("FindingsError") = error_type();
}

}  // namespace toprail::python
