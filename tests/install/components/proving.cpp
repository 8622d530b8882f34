// Uses toprail::proving as something installed.
#include <toprail/proving.hpp>

namespace {

toprail::Shelf shelf_of(const char* limit) {
    const std::string rules = std::string(R"(rulepack: example.authority
title: Example rules
format: 1
standing: regulation
vocabulary: [words]
edition: {from: 2020-01-01, verified-through: 2024-12-31, picked-by: work-date}
provisions:
  - id: raised
    cite: Example Code 1.1
    source: read
    gist: Whoever is higher up is tied off.
    where: height is more than )") +
                              limit + R"(
    duty: tie-off
    calls-for: required
)";
    const char* const words = R"(vocabulary: words
title: Words
standings:
  regulation: {rank: 1, may: [require, relax, limit, explain]}
facts:
  height: {type: length, unit: ft, reads: the height, ask: How high, why: All}
duties:
  tie-off: {asks: Is it required, reads: tie-off}
)";
    return *toprail::load_shelf({{"words.yaml", words}, {"rules.yaml", rules}}).shelf;
}

}  // namespace

int main() {
    const toprail::Comparison other = toprail::compare(shelf_of("6 ft"), shelf_of("4 ft"));
    const toprail::Comparison same = toprail::compare(shelf_of("6 ft"), shelf_of("72 in"));
    return other.settled == toprail::Settled::refuted && same.settled == toprail::Settled::proved
               ? 0
               : 2;
}
