#include "reading/formula.hpp"

#include <doctest/doctest.h>

using namespace toprail;

namespace {

struct Read {
    explicit Read(std::string text) : source("f.yaml", "equals: " + text + "\n") {
        node.text = std::move(text);
        node.span = {&source, 1, 9, static_cast<std::uint32_t>(node.text.size())};
        formula = read_formula(node, findings);
    }

    Source source;
    Node node;
    Findings findings;
    std::optional<Formula> formula;
};

std::string written(const Formula& formula, std::size_t at) {
    const Term& term = formula.terms[at];
    static const char* const signs[] = {"", "", "+", "-", "*", "/", "min", "max", "sqrt"};
    if (term.operation == Operation::figure) {
        return term.figure.text;
    }
    if (term.operation == Operation::name) {
        return term.name;
    }
    std::string text = "(" + std::string(signs[static_cast<std::size_t>(term.operation)]);
    for (const std::size_t part : term.parts) {
        CHECK(part < at);
        text += " " + written(formula, part);
    }
    return text + ")";
}

std::string structure(const char* text) {
    CAPTURE(text);
    const Read read(text);
    REQUIRE(read.formula);
    CHECK(read.formula->text == text);
    return written(*read.formula, read.formula->terms.size() - 1);
}

std::uint32_t column_of_slip(const std::string& text) {
    CAPTURE(text);
    Read read(text);
    REQUIRE_FALSE(read.formula);
    const std::vector<Finding> all = read.findings.take();
    REQUIRE(all.size() == 1);
    CHECK(all.front().code == "bad-formula");
    return all.front().place.column - 8;  // counted from 1 in the formula itself
}

}  // namespace

TEST_CASE("formula: products before sums, from the left") {
    CHECK(structure("a + b * c") == "(+ a (* b c))");
    CHECK(structure("(a + b) * c") == "(* (+ a b) c)");
    CHECK(structure("a - b - c") == "(- (- a b) c)");
    CHECK(structure("a / b / c") == "(/ (/ a b) c)");
    CHECK(structure("a - b + c * d / e") == "(+ (- a b) (/ (* c d) e))");
}

TEST_CASE("formula: functions and figures") {
    CHECK(structure("max(0 ft, a - b)") == "(max 0 ft (- a b))");
    CHECK(structure("min(a, b, c)") == "(min a b c)");
    CHECK(structure("sqrt(a * a + b * b)") == "(sqrt (+ (* a a) (* b b)))");
    CHECK(structure("3.5 ft") == "3.5 ft");
    CHECK(structure("2 * 3.5ft") == "(* 2 3.5 ft)");
    CHECK(structure("a / 9.80665") == "(/ a 9.80665)");
    CHECK(structure("10 ft/s * t") == "(* 10 ft/s t)");
}

TEST_CASE("formula: a hyphen belongs to the name") {
    CHECK(structure("ring-height - anchor-height") == "(- ring-height anchor-height)");
    CHECK(structure("a-b") == "a-b");
    CHECK(structure("max-load") == "max-load");
}

TEST_CASE("formula: a slip is told where it stands") {
    CHECK(column_of_slip("a +") == 4);
    CHECK(column_of_slip("a + * b") == 5);
    CHECK(column_of_slip("(a + b") == 7);
    CHECK(column_of_slip("a b") == 3);
    CHECK(column_of_slip("2 * abs(a)") == 5);
    CHECK(column_of_slip("sqrt(a, b)") == 1);
    CHECK(column_of_slip("max(a)") == 1);
    CHECK(column_of_slip("a ^ 2") == 3);
    CHECK(column_of_slip("a-") == 1);
    CHECK(column_of_slip("1.2.3 ft") == 1);
    CHECK(column_of_slip("-a") == 1);
    CHECK(column_of_slip("A") == 1);
}

TEST_CASE("formula: what a slip is, is told") {
    const auto slip = [](const std::string& text) {
        CAPTURE(text);
        Read read(text);
        REQUIRE_FALSE(read.formula);
        const std::vector<Finding> all = read.findings.take();
        REQUIRE(all.size() == 1);
        CHECK(all[0].help.starts_with("formulas hold names, figures with units"));
        return all[0].message;
    };
    CHECK(slip("a + * b") == "a name, a figure or a bracket is expected here");
    CHECK(slip("a +") == "a name, a figure or a bracket is expected here");
    CHECK(slip("(a + b") == "\")\" is expected here");
    CHECK(slip("sqrt(a") == "\")\" is expected here");
    CHECK(slip("a b") == "this is not understood in a formula");
    CHECK(slip("abs(a)") == "this is neither sqrt(a) nor min(a, b) nor max(a, b)");
    CHECK(slip("a-") == "\"a-\" is not a name");
    CHECK(slip("1.2.3 ft") == "this figure is not understood");
    CHECK(slip(std::string(40, '(') + "a") == "brackets are nested too deeply");
}

TEST_CASE("formula: depth and length have limits") {
    const auto nested = [](std::size_t depth, const std::string& before = "(",
                           const std::string& behind = ")") {
        std::string text = "a";
        for (std::size_t i = 0; i < depth; ++i) {
            text = before + text + behind;
        }
        return text;
    };
    for (const auto& each :
         {std::pair("(", ")"), std::pair("sqrt(", ")"), std::pair("min(a, ", ")"),
          std::pair("max(", ", a)"), std::pair("min(1, a, ", ")")}) {
        const std::string before = each.first;
        const std::string behind = each.second;
        CAPTURE(before);
        CHECK(Read(nested(31, before, behind)).formula);
        CHECK_FALSE(Read(nested(32, before, behind)).formula);
    }
    std::string sum = "a";
    for (int i = 0; i < 99; ++i) {
        sum += " + a";
    }
    CHECK(Read(sum).formula);  // 100 names and 99 sums
    CHECK_FALSE(Read(sum + " + a").formula);
    CHECK_FALSE(Read(std::string(100000, '(') + "a" + std::string(100000, ')')).formula);
}
