// Tools for the laws: what must be true of every shelf and case, whoever wrote them.
#pragma once

#include "oracle/oracle.hpp"
#include "oracle/property.hpp"
#include "oracle/worlds.hpp"
#include "toprail/shelf.hpp"

#include <set>
#include <string>
#include <vector>

namespace oracle {

/// A shelf made of texts that a generator wrote, and what the oracle reads in them.
struct Ground {
    toprail::Shelf shelf;
    Oracle oracle;
};

/// Fails the property that runs when the texts are refused.
Ground ground_of(const std::vector<toprail::SourceText>& texts);

toprail::Answer ask(const toprail::Shelf& shelf, const TestCase& test_case);

/// The case with one more fact, or another value of it.
TestCase with(TestCase test_case, const std::string& fact, const std::string& value);

bool is_unknown(const TestCase& test_case, const std::string& fact);

/// Texts of the values that the fact may take in this case, one of each class that the shelf can
/// tell apart; empty when one of them cannot be written down.
std::vector<std::string> classes_of(const Ground& ground, const TestCase& test_case,
                                    const std::string& fact);

/// A duty that the decision leaves out is not addressed.
std::set<toprail::Outcome> possible(const toprail::Decision& decision, const std::string& duty);
bool is_exact(const toprail::Decision& decision, const std::string& duty);
std::set<std::string> settled_by(const toprail::Decision& decision, const std::string& duty);

/// What the answer comes to, as sorted lines, without the words that it is told in: outcomes,
/// choices, limits, who governs, the state of every provision, and how the plan fits.
std::string essence(const toprail::Answer& answer);

/// Logs the case and both sides, and fails the property that runs, unless they are equal.
void same_essence(const std::string& law, const TestCase& test_case, const toprail::Answer& one,
                  const toprail::Answer& other);

/// Logs the case and fails the property that runs.
[[noreturn]] void broken(const std::string& law, const TestCase& test_case,
                         const std::string& details);

/// Asks the property of `shelves` values of the generator. TOPRAIL_LONG_RUN asks 50 times as many.
template <typename Value, typename Property>
bool law_holds(rc::Gen<Value> gen, int shelves, Property property) {
    const int times = long_run() ? 50 : 1;
    return check_property(std::move(gen), shelves * times, first_seed(), std::move(property));
}

}  // namespace oracle
