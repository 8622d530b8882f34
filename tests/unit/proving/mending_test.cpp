// Mending with the prover that the command uses: what is never true goes, once it is proved that
// every case is decided as before.
#include "support/small_shelf.hpp"
#include "toprail/mending.hpp"
#include "toprail/proving.hpp"

#include <doctest/doctest.h>

namespace toprail::test {
namespace {

std::vector<SourceText> texts_with(const std::string& alternatives) {
    return {small_vocabulary(), small_pack("provisions:\n"
                                           "  - id: high\n"
                                           "    cite: Rule 1\n"
                                           "    source: read\n"
                                           "    gist: High up people are tied off.\n"
                                           "    where:\n"
                                           "      any-of:\n" +
                                           alternatives +
                                           "    duty: tie-off\n"
                                           "    calls-for: required\n")};
}

MendOptions with_proof(std::size_t& asked, std::size_t& proved) {
    MendOptions options;
    options.may_change = [](const std::string& file) { return file == "test.pack.yaml"; };
    options.proved_equal = [&](const Shelf& before, const Shelf& after) {
        const bool equal = compare(before, after).settled == Settled::proved;
        ++asked;
        proved += equal ? 1U : 0U;
        return equal;
    };
    return options;
}

TEST_CASE("mend: the prover settles that an alternative which is never true may go") {
    std::size_t asked = 0;
    std::size_t proved = 0;
    const std::string kept = "        - height is more than 6 ft\n";
    // No height above 500 ft can be given.
    const Mending mending = mend(texts_with(kept + "        - height is more than 500 ft\n"),
                                 with_proof(asked, proved));
    CHECK_MESSAGE(!has_error(mending.findings), told(mending.findings));
    CHECK(asked == 1);
    CHECK(proved == 1);
    REQUIRE(mending.texts.size() == 1);
    CHECK(mending.texts[0].text == texts_with(kept)[1].text);
    CHECK(mending.dropped == 0);
}

TEST_CASE("mend: the prover is asked nothing where every alternative can be true") {
    std::size_t asked = 0;
    std::size_t proved = 0;
    const Mending mending = mend(texts_with("        - height is more than 6 ft\n"
                                            "        - height is at most 500 ft\n"),
                                 with_proof(asked, proved));
    CHECK(asked == 0);
    CHECK(mending.parts.empty());
}

TEST_CASE("mend: the prover that the mending rests on tells shelves apart that decide otherwise") {
    const auto shelf = [](const std::string& alternatives) {
        return shelf_of(texts_with(alternatives));
    };
    const Shelf both = shelf("        - height is more than 6 ft\n        - gate-open\n");
    const Shelf one = shelf("        - height is more than 6 ft\n");
    CHECK(compare(both, one).settled != Settled::proved);
    CHECK(compare(one, one).settled == Settled::proved);
}

}  // namespace
}  // namespace toprail::test
