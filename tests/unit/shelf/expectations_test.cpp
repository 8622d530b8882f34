// What a worked case expects, held against what is decided: every kind of answer and of status, met
// and missed, and what is said of it.
#include "support/small_shelf.hpp"
#include "toprail/worked_cases.hpp"

#include <doctest/doctest.h>

namespace toprail::test {
namespace {

const std::string rules =
    requires_tie_off("tied", "height is more than 12 ft") +
    provision("dressed", "duty: vest, calls-for: required", "gate-open", "displaces: [undressed]") +
    provision("undressed", "duty: vest, calls-for: not required") +
    provision("bars", "choice: means, bars: [restraint]") +
    provision("short", "limit: width, at-most: 6 ft") +
    provision("wide", "limit: width, at-least: 2 ft") +
    provision("reaches", "limit: depth, at-most: reach");

// What lint says of the case, without its lead.
std::vector<std::string> said(const std::string& expectation,
                              const std::string& facts = "height: 20 ft, width: 3 ft") {
    const Shelf shelf =
        shelf_of({small_vocabulary(), small_pack("provisions:\n" + rules +
                                                 "worked-cases:\n  - name: one\n    facts: {" +
                                                 facts + "}\n    " + expectation + "\n")});
    std::vector<std::string> all;
    for (const Finding& finding : lint_shelf(shelf)) {
        if (finding.code == "case-fails") {
            const std::string lead = "the case \"one\" comes out differently: ";
            REQUIRE_MESSAGE(finding.message.starts_with(lead), finding.message);
            all.push_back(finding.message.substr(lead.size()));
            CHECK(finding.help == "mend the provision, or the case if it is wrong");
        }
    }
    return all;
}

std::string only_said(const std::string& expectation,
                      const std::string& facts = "height: 20 ft, width: 3 ft") {
    const std::vector<std::string> all = said(expectation, facts);
    REQUIRE(all.size() == 1);
    return all.front();
}

TEST_CASE("expectations: a duty, and what would settle it") {
    CHECK(said("answers: {tie-off: required}").empty());
    CHECK(said("answers: {tie-off: not addressed}", "height: 12 ft").empty());
    CHECK(only_said("answers: {tie-off: not required}") ==
          "tie-off comes out \"required\"; the case expects \"not required\"");
    CHECK(only_said("answers: {tie-off: required}", "height: 12 ft") ==
          "tie-off comes out \"not addressed\"; the case expects \"required\"");
    CHECK(only_said("answers: {tie-off: required}", "width: 3 ft") ==
          "tie-off comes out \"undetermined\"; the case expects \"required\"; still to settle: "
          "[height]");
}

TEST_CASE("expectations: what a choice admits, in any order") {
    CHECK(said("answers: {means: arrest}").empty());
    CHECK(said("answers: {means: [arrest]}").empty());
    CHECK(said("answers: {anchor: [structure, boom, basket]}").empty());
    CHECK(only_said("answers: {means: none}") == "means admits [arrest], not []");
    CHECK(only_said("answers: {means: restraint}") == "means admits [arrest], not [restraint]");
    CHECK(only_said("answers: {anchor: boom}") ==
          "anchor admits [basket, boom, structure], not [boom]");
}

TEST_CASE("expectations: a limit by figure in any unit, by name or by value") {
    CHECK(said("answers: {width: at most 6 ft}").empty());
    CHECK(said("answers: {width: at most 72 in}").empty());
    CHECK(said("answers: {width: at least 24 in}").empty());
    CHECK(said("answers: {persons: no bound}").empty());
    CHECK(said("answers: {depth: at most reach}").empty());
    CHECK(said("answers: {depth: at most 23 ft}").empty());
    CHECK(said("answers: {depth: at most 276 in}").empty());
    CHECK(only_said("answers: {width: at most 5 ft}") ==
          "width has the bounds [at most 6 ft, at least 2 ft], not at most 5 ft");
    CHECK(only_said("answers: {width: at least 6 ft}").ends_with("not at least 6 ft"));
    CHECK(only_said("answers: {width: no bound}").ends_with("not no bound"));
    CHECK(only_said("answers: {persons: at most 2}") == "persons has the bounds [], not at most 2");
    CHECK(only_said("answers: {depth: at most 22 ft}") ==
          "depth has the bounds [at most reach (23 ft)], not at most 22 ft");
    CHECK(only_said("answers: {depth: at most height}").ends_with("not at most height"));
    CHECK(only_said("answers: {width: at most height}").ends_with("not at most height"));
}

TEST_CASE("expectations: the status of a provision") {
    CHECK(said("stands: [tied, short]").empty());
    CHECK(said("stands: [test.pack/tied]").empty());
    CHECK(said("falls: [tied]", "height: 12 ft").empty());
    CHECK(said("open: [tied]", "width: 3 ft").empty());
    CHECK(said("displaced: [undressed]", "gate-open: yes").empty());
    CHECK(only_said("stands: [tied]", "height: 12 ft") ==
          "test.pack/tied falls, but the case says stands");
    CHECK(only_said("falls: [tied]") == "test.pack/tied stands, but the case says falls");
    CHECK(only_said("open: [tied]") == "test.pack/tied stands, but the case says open");
    CHECK(only_said("displaced: [undressed]", "gate-open: no") ==
          "test.pack/undressed stands, but the case says displaced");
    CHECK(only_said("stands: [nowhere]") == "no provision is called \"test.pack/nowhere\"");
    CHECK(only_said("falls: [test.other/tied]") == "no provision is called \"test.other/tied\"");
}

TEST_CASE("expectations: a provision of another authority is weighed where that counts alone") {
    const auto shelf = [](const std::string& expectation) {
        return shelf_of({small_vocabulary(),
                         small_pack("provisions:\n" + requires_tie_off("far"), "test.far"),
                         small_pack("provisions:\n" + requires_tie_off("near") +
                                    "worked-cases:\n  - {name: one, facts: {height: 9 ft}, " +
                                    expectation + "}\n")});
    };
    const std::vector<Finding> stands = failing_worked_cases(
        shelf("answers: {tie-off: required}, stands: [test.far/far]"), {"test.pack"});
    REQUIRE(stands.size() == 1);
    CHECK(stands.front().message.ends_with("test.far/far is not weighed in this case"));
    const std::string falls = "answers: {tie-off: required}, falls: [test.far/far]";
    CHECK(failing_worked_cases(shelf(falls), {"test.pack"}).empty());
    // Only the authorities asked about are held.
    const std::string fails = "answers: {tie-off: not required}";
    CHECK(failing_worked_cases(shelf(fails), {"test.far"}).empty());
    CHECK(failing_worked_cases(shelf(fails), {"test.far", "test.pack"}).size() == 1);
}

TEST_CASE("expectations: the questions that settle what is undetermined") {
    CHECK(said("answers: {tie-off: undetermined}\n    asks: [height]", "width: 3 ft").empty());
    CHECK(
        said("answers: {tie-off: undetermined, vest: undetermined}\n    asks: [gate-open, height]",
             "width: 3 ft")
            .empty());
    CHECK(only_said("answers: {tie-off: undetermined, vest: undetermined}\n    asks: [height]",
                    "width: 3 ft") == "the case asks [gate-open, height], not [height]");
    // Only what is expected to be undetermined counts, and there it is.
    CHECK(only_said("answers: {tie-off: undetermined, means: [arrest]}\n    asks: [height, width]",
                    "width: 3 ft") == "the case asks [height], not [height, width]");
    CHECK(said("answers: {tie-off: undetermined, width: at most 6 ft}\n    asks: [height]",
               "roofed: no")
              .empty());
}

TEST_CASE("expectations: a case that cannot be decided says why and where") {
    const auto lint = [](const std::string& worked_case) {
        const Shelf shelf =
            shelf_of({small_vocabulary(),
                      small_pack("provisions:\n" + rules + "worked-cases:\n" + worked_case)});
        std::vector<Finding> found = lint_shelf(shelf);
        std::erase_if(found, [](const Finding& each) { return each.code != "case-fails"; });
        return found;
    };
    const std::vector<Finding> unit =
        lint("  - name: one\n    facts: {height: 20}\n    answers: {tie-off: required}\n");
    REQUIRE(unit.size() == 1);
    CHECK(unit.front().message.starts_with("the case \"one\" cannot be decided: "));
    CHECK(unit.front().place.line == 17);
    const std::vector<Finding> early = lint(
        "  - name: one\n    on: 1990-01-01\n    facts: {height: 20 ft}\n    answers: {tie-off: "
        "required}\n");
    REQUIRE(early.size() == 1);
    CHECK(early.front().message.starts_with("the case \"one\" cannot be decided: "));
    CHECK(early.front().place.line != 0);
    CHECK(lint("  - name: one\n    on: 2001-01-01\n    facts: {height: 20 ft}\n    answers: "
               "{tie-off: required}\n")
              .empty());
}

TEST_CASE("expectations: a case that rests on another authority is told, what is needed is not") {
    const auto elsewhere = [](const std::vector<SourceText>& texts) {
        std::vector<std::string> found;
        for (const Finding& finding : lint_shelf(shelf_of(texts))) {
            if (finding.code == "case-rests-elsewhere") {
                found.push_back(finding.message);
            }
        }
        return found;
    };
    const std::string worked =
        "worked-cases:\n  - {name: one, facts: {height: 9 ft}, answers: {tie-off: required}, "
        "falls: [test.far/far]}\n";
    const SourceText far = small_pack("provisions:\n" + requires_tie_off("far"), "test.far");
    const std::string near = "provisions:\n" + requires_tie_off("near");
    const std::vector<std::string> found =
        elsewhere({small_vocabulary(), far, small_pack(near + worked)});
    REQUIRE(found.size() == 1);
    CHECK(found.front() ==
          "without the rulepacks that test.pack does not adopt, the case \"one\" comes out "
          "differently: no provision is called \"test.far/far\"");
    // Adopted, displaced, relaxed or let govern by it, or by what it needs, the other stays.
    const SourceText third = small_pack("provisions:\n" + requires_tie_off("t"), "test.third");
    for (const std::string& needing :
         {std::string("adopts: {rulepack: test.far, cite: c, source: read}\n") + near,
          "provisions:\n" + requires_tie_off("near", {}, "displaces: [test.far/far]"),
          near + provision("spares", "relaxes: [test.far/far], terms: t", "gate-open is no"),
          near + provision("lets", "governs: test.far")}) {
        CAPTURE(needing);
        CHECK(elsewhere({small_vocabulary(), far, third,
                         small_pack(needing + "worked-cases:\n  - {name: one, facts: {height: 9 "
                                              "ft, gate-open: yes}, answers: {tie-off: required}, "
                                              "falls: [far]}\n")})
                  .empty());
    }
}

}  // namespace
}  // namespace toprail::test
