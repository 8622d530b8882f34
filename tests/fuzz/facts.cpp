// Bytes of facts files, decided with a shelf that uses every type of fact.
#include "fuzz/holding.hpp"
#include "support/small_shelf.hpp"

using namespace toprail;

namespace {

const Shelf& shelf() {
    static const Shelf made = test::small_shelf(
        test::requires_tie_off("high", "height is more than 6 ft") +
        test::requires_tie_off("open", "{all-of: [gate-open, guardrail is not complete]}") +
        test::frees_tie_off("few", "persons is at most 2") +
        test::requires_tie_off("old", "made-on is before 2000-01-01") +
        test::provision("reach", "limit: reach, at-most: 30 ft", "mechanism is not mast") +
        test::provision("deep", "limit: depth, at-least: 1 ft", "weight is at least 100 lb") +
        test::provision("arrest", "choice: means, bars: [arrest]", "roofed"));
    return made;
}

}  // namespace

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const FactsFile file =
        read_facts(std::string(fuzz::text_of(data, size)), "facts.yaml", fuzz::small_limits());
    fuzz::hold_findings(file.findings);
    if (has_error(file.findings)) {
        return 0;
    }
    constexpr std::size_t most_cases = 4;
    for (std::size_t i = 0; i < std::min(most_cases, file.cases.size()); ++i) {
        fuzz::hold_deciding(shelf(), file.cases[i].facts, file.cases[i].name);
    }
    return 0;
}
