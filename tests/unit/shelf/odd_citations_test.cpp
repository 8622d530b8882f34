// Citations that break the form of their family: each slip, where it is marked, and its neighbours
// that are sound.
#include "support/small_shelf.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <initializer_list>

namespace toprail::test {
namespace {

std::vector<Finding> odd(const Shelf& shelf) {
    std::vector<Finding> found = lint_shelf(shelf);
    std::erase_if(found, [](const Finding& each) { return each.code != "odd-citation"; });
    return found;
}

// One provision whose citation is written as given, quotes and all.
Shelf shelf_citing(const std::string& written) {
    return shelf_of(
        {small_vocabulary(), small_pack("provisions:\n  - id: a\n    cite: " + written +
                                        "\n    source: read\n    gist: Gist.\n"
                                        "    duty: tie-off\n    calls-for: required\n")});
}

struct Slip {
    const char* cite;
    const char* marked;  // the part of it that is marked
    const char* message;
};

// The marked part is found by its column: the citation begins in column 11 of line 9.
void hold(const Slip& slip) {
    CAPTURE(slip.cite);
    const std::vector<Finding> found = odd(shelf_citing(slip.cite));
    REQUIRE(found.size() == 1);
    const Finding& finding = found.front();
    CHECK(finding.severity == Severity::warning);
    CHECK(finding.message == slip.message);
    CHECK_FALSE(finding.help.empty());
    CHECK(finding.place.line == 9);
    // Places are counted in characters, of which a section sign is one in two bytes.
    const std::string_view cite = slip.cite;
    const std::string_view marked = slip.marked;
    CHECK(finding.place.length == marked.size() - static_cast<std::size_t>(std::count(
                                                      marked.begin(), marked.end(), '\xc2')));
    CHECK(cite.substr(finding.place.column - 11, marked.size()) == marked);
}

void hold_sound(std::initializer_list<const char*> citations) {
    for (const char* cite : citations) {
        CAPTURE(cite);
        const std::vector<Finding> found = odd(shelf_citing(cite));
        CHECK_MESSAGE(found.empty(), told(found));
    }
}

TEST_CASE("odd citations: brackets are opened, closed and filled") {
    hold({"Rule 5(b)(2", "(", "this bracket is never closed"});
    hold({"Rule 5(b", "(", "this bracket is never closed"});
    hold({"Rule 5b)(2)", ")", "this bracket was never opened"});
    hold({"Rule 5()(2)", "()", "these brackets hold nothing"});
    hold_sound({"Rule 5(b)(2)", "Rule 5(b(2))", "Rule 5"});
}

TEST_CASE("odd citations: two section signs stand before several sections") {
    hold({"Code §§ 12", "§§", "the section sign is doubled"});
    hold({"Code § § 12", "§ §", "the section sign is doubled"});
    hold({"Code § § 12, 13", "§ §", "the section sign is doubled"});
    hold({"Code § §", "§ §", "the section sign is doubled"});
    hold_sound({"Code § 12", "Code §", "Code §§ 12, 13", "Code §§ 12-14", "Code §§ 12 and 13",
                "Code §§ 12 to 14", "Code §§ 12 through 14"});
}

TEST_CASE("odd citations: what ends in the middle breaks off") {
    for (const char* cite : {"Rule 5,", "Rule 5-", "Rule 5/", "\"Rule 5:\"", "Rule 5."}) {
        CAPTURE(cite);
        const std::vector<Finding> found = odd(shelf_citing(cite));
        REQUIRE(found.size() == 1);
        CHECK(found.front().message == "the citation breaks off here");
        CHECK(found.front().place.length == 1);
    }
    hold_sound({"Rule 5, art.", "Rule five."});
}

TEST_CASE("odd citations: a code with titles has one before it and a section after it") {
    hold({"CFR 1926.453", "CFR", "no title stands before CFR"});
    hold({"the CFR 1926.453", "CFR", "no title stands before CFR"});
    hold({"29-CFR 1926.453", "CFR", "no title stands before CFR"});
    hold({"29 CFR", "CFR", "no part or section follows CFR"});
    hold({"29 CFR part A", "CFR", "no part or section follows CFR"});
    hold({"29 CFR 1926,453", ",", "a comma stands where a stop parts the section from its part"});
    hold({"29 CFR 1926.(b)", ".", "no section follows this stop"});
    hold({"CCR 3648", "CCR", "no title stands before CCR"});
    hold({"29 U.S.C.", "U.S.C.", "no part or section follows U.S.C."});
    hold_sound({"29 CFR 1926.453(b)", "29 CFR 1926, subpart L", "29 CFR 1926", "29 CFR part 1926",
                "29 CFR § 1926.453", "29 CFR §§ 1926.453, 1926.454", "8 CCR section 3648",
                "8 CCR sections 3648 to 3650", "8 CCR chapter 4", "29 U.S.C. 654(a)(1)",
                "Rule of the XCFR 5", "29 CFRs"});
}

TEST_CASE("odd citations: a code of groups has those that it needs") {
    hold({"WAC 296", "WAC 296", "the number of this WAC rule is not complete"});
    hold({"WAC 296.869", "WAC 296", "the number of this WAC rule is not complete"});
    hold({"WAC 2-869", "WAC 2", "the number of this WAC rule is not complete"});
    hold({"WAC 296-x", "WAC 296-", "the number of this WAC rule is not complete"});
    hold({"OAR 437-03", "OAR 437-03", "the number of this OAR rule is not complete"});
    hold({"R 408", "R 408", "the number of this R rule is not complete"});
    hold({"EM 385-1", "EM 385-1", "the number of this EM rule is not complete"});
    hold({"EM 385-1-1", "EM 385-1-1", "this manual has several editions and none is named"});
    hold({"EM 385-1-1 (24)", "EM 385-1-1", "this manual has several editions and none is named"});
    hold_sound({"WAC 296-869-60005", "WAC 296-869", "OAR 437-003-0073", "R 408.13211",
                "EM 385-1-1 (2024)", "R", "Appendix R of the manual", "R/408", "OAR, chapter 437"});
}

TEST_CASE("odd citations: a letter is known by a day that exists") {
    hold({"OSHA letter 1999-02-30", "1999-02-30", "\"1999-02-30\" is not a day"});
    hold({"OSHA memo 1999, part 2", "1999", "\"1999\" is not a day"});
    hold({"OSHA letter 1999-02-18 and OSHA letter 1999-13-01", "1999-13-01",
          "\"1999-13-01\" is not a day"});
    hold_sound({"OSHA letter 1999-02-18", "OSHA memo 1999-02-18, question 2",
                "OSHA letter to a builder", "\"OSHA letter \""});
}

TEST_CASE("odd citations: in quotes the slip is marked, escaped or folded the whole text is") {
    const std::vector<Finding> quoted = odd(shelf_citing("\"Rule 5(b\""));
    REQUIRE(quoted.size() == 1);
    CHECK(quoted.front().place.column == 18);
    CHECK(quoted.front().place.length == 1);
    for (const char* whole : {"\"Rule\\x205(b\"", "Rule\n      5(b"}) {
        const std::vector<Finding> found = odd(shelf_citing(whole));
        REQUIRE(found.size() == 1);
        CHECK(found.front().place.line == 9);
        CHECK(found.front().place.column == 11);
        CHECK(found.front().place.length > 1);
    }
}

TEST_CASE("odd citations: further citations, adoptions and quantities are looked at as well") {
    const Shelf shelf = shelf_of(
        {small_vocabulary(),
         small_pack("provisions:\n" + requires_tie_off("a", {}, "also-cite: [Rule 1, Rule 2(b]") +
                    requires_tie_off("b", {}, "also-cite: [Rule 3]")),
         small_pack("adopts: {rulepack: test.pack, cite: Rule 4(c, source: read}\n"
                    "quantities:\n  span: {kind: length, unit: ft, reads: r, equals: height, "
                    "cite: Rule 5(d, source: read}\n"
                    "provisions:\n" +
                        provision("c", "limit: span, at-most: 5 ft"),
                    "test.other")});
    const std::vector<Finding> found = odd(shelf);
    REQUIRE_MESSAGE(found.size() == 3, told(found));
    for (const Finding& finding : found) {
        CHECK(finding.message == "this bracket is never closed");
    }
}

}  // namespace
}  // namespace toprail::test
