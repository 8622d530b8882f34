// Rulepacks that count in no case, and those that are meant to be named.
#include "support/small_shelf.hpp"

#include <doctest/doctest.h>

namespace toprail::test {
namespace {

std::vector<Finding> linted(const std::string& key) {
    const Shelf shelf = shelf_of(
        {small_vocabulary(), small_pack(key + "provisions:\n" + requires_tie_off("a")),
         small_pack("provisions:\n" + provision("b", "governs: test.other") + requires_tie_off("c"),
                    "test.other")});
    std::vector<Finding> found = lint_shelf(shelf);
    std::erase_if(found, [](const Finding& each) { return each.code != "never-governs"; });
    return found;
}

TEST_CASE("never-governs: a rulepack that nothing lets govern is a warning with a remedy") {
    const std::vector<Finding> found = linted("");
    REQUIRE(found.size() == 1);
    CHECK(found[0].severity == Severity::warning);
    CHECK(found[0].place.file == "test.pack.yaml");
    CHECK(found[0].help.find("governs: test.pack") != std::string::npos);
    CHECK(found[0].help.find("counts-when: named or adopted") != std::string::npos);
}

TEST_CASE("never-governs: one that is meant to be named says so, and is decided as before") {
    CHECK(linted("counts-when: named or adopted\n").empty());
}

}  // namespace
}  // namespace toprail::test
