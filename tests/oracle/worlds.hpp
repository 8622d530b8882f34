// Small shelves and cases made from tapes of numbers. RapidCheck makes, shortens and lowers the
// tapes, so a failure shrinks to few facts, provisions and conditions: a draw past the end of a
// tape is 0, and 0 is always the plainest pick.
#pragma once

#include "oracle/oracle.hpp"
#include "toprail/shelf.hpp"

#include <rapidcheck.h>

#include <cstdint>
#include <iosfwd>
#include <set>
#include <string>
#include <vector>

namespace oracle {

using Tape = std::vector<std::uint8_t>;

struct World {
    Tape layout;  // how many authorities, editions, choices and duties
    std::vector<Tape> facts;
    std::vector<Tape> quantities;
    std::vector<Tape> conditions;
    std::vector<Tape> provisions;  // dealt out to the editions in turn
    std::vector<Tape> cases;
};

rc::Gen<std::vector<Tape>> lists_of_tapes(int count, int length);

/// Worlds with at most that many cases each.
rc::Gen<World> worlds(int cases);

/// The texts of the vocabulary and the rulepacks of a world.
std::vector<toprail::SourceText> texts_of(const World& world);

/// The same, and a pack of one more authority made from the tapes. It only requires, limits and
/// bars; where packs say who governs, it says that it does.
inline constexpr const char* overlay_authority = "o.overlay";
std::vector<toprail::SourceText> texts_with_overlay(const World& world,
                                                    const std::vector<Tape>& provisions);

struct TestCase {
    toprail::Facts facts;
    Date on = Date::from_days(0);
    std::vector<std::string> authorities;

    [[nodiscard]] std::set<std::string> named() const {
        return {authorities.begin(), authorities.end()};
    }
};

/// How many fillings a case may have: the oracle decides every one of them.
inline constexpr std::size_t most_fillings = 300;

/// One case per tape, with so few unknown facts that the fillings stay below `most_fillings`.
std::vector<TestCase> cases_of(const World& world, const Oracle& oracle);

/// A value that fact might be given, as a person writes it.
std::string some_value(const Fact& fact, std::uint8_t pick);

void showValue(const World& world, std::ostream& out);
std::string show(const TestCase& test_case);

}  // namespace oracle
