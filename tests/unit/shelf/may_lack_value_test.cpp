// Quantities that may divide by zero or take the root of a negative number: which are told, and
// which ranges and conditions leave that out.
#include "support/small_shelf.hpp"

#include <doctest/doctest.h>

namespace toprail::test {
namespace {

// A shelf whose quantity `q` is written like this: "equals: ..", or "pieces: [..]".
std::vector<Finding> found_in(const std::string& formula, const std::string& kind = "ratio",
                              const std::string& more = "", const std::string& before = "") {
    const std::string unit = kind == "length" ? ", unit: ft" : "";
    std::vector<Finding> found = lint_shelf(
        shelf_of({small_vocabulary(),
                  small_pack(before + "quantities:\n" + more + "  q:\n    kind: " + kind +
                             "\n    reads: it\n" + (unit.empty() ? "" : "    unit: ft\n") + "    " +
                             formula + "\nprovisions:\n" + provision("a", "remarks-on: q"))}));
    std::erase_if(found, [](const Finding& each) { return each.code != "may-lack-value"; });
    return found;
}

bool told_of(const std::string& formula, const std::string& kind = "ratio",
             const std::string& more = "", const std::string& before = "") {
    return !found_in(formula, kind, more, before).empty();
}

TEST_CASE("may lack value: a divisor that may be zero is marked, once for each quantity") {
    const std::vector<Finding> found =
        found_in("equals: width / height + width / height + 1 ft / depth");
    REQUIRE(found.size() == 1);
    CHECK(found[0].severity == Severity::warning);
    CHECK(found[0].message == "the quantity \"q\" may have no value: it divides by what may be "
                              "zero");
    CHECK(found[0].help == "give the facts in it a \"from\" or \"to\" that leaves this out, or say "
                           "in \"where\" of a piece when the formula counts, and in a last piece "
                           "what holds otherwise");
    CHECK(found[0].place.column == 21);
}

TEST_CASE("may lack value: a root of what may be negative") {
    const std::vector<Finding> found = found_in("equals: sqrt((height - width) * 1 ft)", "length");
    REQUIRE(found.size() == 1);
    CHECK(found[0].message == "the quantity \"q\" may have no value: what it takes the root of may "
                              "be negative");
    CHECK_FALSE(told_of("equals: sqrt(height * width)", "length"));
    CHECK_FALSE(told_of("equals: sqrt((height - width) * (height - width))", "length"));
    CHECK_FALSE(told_of("equals: sqrt(max(0 ft, height - width) * 1 ft)", "length"));
    CHECK(told_of("equals: sqrt(min(3 ft, height - width) * 1 ft)", "length"));
}

TEST_CASE("may lack value: ranges of facts leave zero out") {
    CHECK_FALSE(told_of("equals: height / width"));
    CHECK_FALSE(told_of("equals: height / (height + width)"));
    CHECK_FALSE(told_of("equals: height / (height - 501 ft)"));
    CHECK(told_of("equals: height / (height - 500 ft)"));
    CHECK_FALSE(told_of("equals: height / (width * width - 0.9 ft * 1 ft) * 1 ft"));
    CHECK(told_of("equals: height / (width * width - 1 ft * 1 ft) * 1 ft"));
    // Without an upper end a sum still has a lower one.
    CHECK_FALSE(told_of("equals: height / (depth + 1 ft)"));
    CHECK_FALSE(told_of("equals: height / max(depth, 1 in)"));
    CHECK(told_of("equals: height / min(depth, 1 in)"));
    CHECK_FALSE(told_of("equals: height / sqrt((depth + 1 in) * 1 ft)"));
    CHECK(told_of("equals: height / sqrt(depth * 1 ft)"));
}

TEST_CASE("may lack value: the where of a piece leaves it out") {
    CHECK_FALSE(told_of("pieces: [{where: height is more than 0 ft, equals: width / height}]"));
    CHECK(told_of("pieces: [{where: height is at least 0 ft, equals: width / height}]"));
    CHECK_FALSE(told_of("pieces: [{where: height is at least 1 in, equals: width / height}]"));
    CHECK_FALSE(told_of("pieces: [{where: height is exactly 3 ft, equals: width / height}]"));
    CHECK_FALSE(told_of("pieces: [{where: height is less than 9 ft, equals: 1 ft / (9 ft - "
                        "height)}]"));
    CHECK(told_of("pieces: [{where: height is at most 9 ft, equals: 1 ft / (9 ft - height)}]"));
    CHECK_FALSE(told_of("pieces: [{where: {all-of: [gate-open, height is more than 0 ft]}, equals: "
                        "width / height}]"));
    CHECK(told_of("pieces: [{where: {any-of: [gate-open, height is more than 0 ft]}, equals: "
                  "width / height}]"));
    CHECK(told_of("pieces: [{where: gate-open, equals: width / height}]"));
    // One quantity against another.
    CHECK_FALSE(told_of("pieces: [{where: height is more than width, equals: 1 ft / (height - "
                        "width)}]"));
    CHECK_FALSE(told_of("pieces: [{where: height is less than width, equals: 1 ft / (height - "
                        "width)}]"));
    CHECK(told_of("pieces: [{where: height is at least width, equals: 1 ft / (height - width)}]"));
    CHECK(told_of("pieces: [{where: height is more than reach, equals: 1 ft / (height - width)}]"));
    CHECK_FALSE(told_of("pieces: [{where: height is at least width, equals: sqrt((height - width) "
                        "* 1 ft)}]",
                        "length"));
}

TEST_CASE("may lack value: an earlier piece takes what a later one cannot divide by") {
    for (const char* where : {"height is at most 1 ft", "height is less than 1 ft"}) {
        CAPTURE(where);
        CHECK_FALSE(told_of("pieces: [{where: " + std::string(where) +
                            ", equals: 1}, {equals: width / height}]"));
    }
    for (const char* where : {"height is at least 499 ft", "height is more than 499 ft"}) {
        CAPTURE(where);
        CHECK_FALSE(told_of("pieces: [{where: " + std::string(where) +
                            ", equals: 1}, {equals: 1 ft / (500 ft - height)}]"));
    }
    CHECK(told_of("pieces: [{where: gate-open, equals: 1}, {equals: width / height}]"));
    CHECK(told_of("pieces: [{where: height is exactly 0 ft, equals: 1}, {equals: width / "
                  "height}]"));
}

TEST_CASE("may lack value: quantities are followed, and what is supposed goes with them") {
    const std::string span = "  span: {kind: length, unit: ft, reads: s, equals: height - width}\n";
    CHECK(told_of("equals: width / span", "ratio", span));
    CHECK_FALSE(
        told_of("pieces: [{where: span is more than 0 ft, equals: width / span}]", "ratio", span));
    CHECK_FALSE(told_of("pieces: [{where: height is more than 41 ft, equals: width / span}]",
                        "ratio", span));
    CHECK_FALSE(told_of("equals: width / reach"));
    CHECK(found_in("equals: width / reach", "ratio",
                   "  over: {kind: ratio, reads: o, equals: width / height}\n")
              .size() == 1);
}

TEST_CASE("may lack value: formulas that could be followed for hours are not") {
    // Each is the sum of two before it, and what is supposed of one is asked of all.
    std::string chain = "  n0: {kind: length, unit: ft, reads: n, equals: height + width}\n";
    for (int i = 1; i < 40; ++i) {
        const std::string before = "n" + std::to_string(i - 1);
        std::string sum = before;
        for (int more = 0; more < 60; ++more) {
            sum += " + " + before;
        }
        chain += "  n" + std::to_string(i) + ": {kind: length, unit: ft, reads: n, equals: " + sum +
                 "}\n";
    }
    CHECK_FALSE(
        told_of("pieces: [{where: height is more than 0 ft, equals: 1 ft / n39}]", "ratio", chain));
    // Ten layers of conditions, each of all those below it.
    std::string layers = "conditions:\n";
    for (int layer = 0; layer < 10; ++layer) {
        for (int i = 0; i < 30; ++i) {
            layers += "  c" + std::to_string(layer) + "-" + std::to_string(i) +
                      ": {reads: c, all-of: [height is more than 0 ft";
            for (int below = 0; layer > 0 && below < 30; ++below) {
                layers += ", c" + std::to_string(layer - 1) + "-" + std::to_string(below);
            }
            layers += "]}\n";
        }
    }
    CHECK_FALSE(told_of("pieces: [{where: c9-0, equals: width / height}]", "ratio", "", layers));
}

}  // namespace
}  // namespace toprail::test
