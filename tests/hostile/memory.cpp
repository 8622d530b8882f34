// Want of memory, in C++: the Nth allocation of a call fails, for every N, until the call gets
// through. Each failure must leave the call with std::bad_alloc, hand out nothing, leak nothing and
// harm nothing that was there before. A program of its own, since it replaces the allocator.
//
// Making and replaying receipts is left out: the JSON library that they are made with allocates
// while it gives memory back, where a failure ends the process. Reading one, and giving back what
// was read, is held here. See SECURITY in the README.
#include "support/small_shelf.hpp"
#include "toprail/bulk.hpp"
#include "toprail/telling.hpp"
#ifdef TOPRAIL_RECEIPTS
#include "toprail/receipt.hpp"
#endif

#include <cstdio>
#include <cstdlib>
#include <functional>
#include <new>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace {

long left = -1;   // allocations that still succeed; below 0: all
long living = 0;  // blocks that were not given back

void* taken(std::size_t size) {
    if (left == 0) {
        throw std::bad_alloc();
    }
    left -= left > 0 ? 1 : 0;
    void* const block = std::malloc(size == 0 ? 1 : size);
    if (block == nullptr) {
        std::abort();
    }
    ++living;
    return block;
}

void given_back(void* block) {
    living -= block == nullptr ? 0 : 1;
    std::free(block);
}

}  // namespace

void* operator new(std::size_t size) {
    return taken(size);
}
void* operator new[](std::size_t size) {
    return taken(size);
}
void operator delete(void* block) noexcept {
    given_back(block);
}
void operator delete[](void* block) noexcept {
    given_back(block);
}
void operator delete(void* block, std::size_t /*size*/) noexcept {
    given_back(block);
}
void operator delete[](void* block, std::size_t /*size*/) noexcept {
    given_back(block);
}

namespace {

using namespace toprail;

void hold(bool holds, const char* what, long allowed) {
    if (!holds) {
        std::fprintf(stderr, "with %ld allocations: %s\n", allowed, what);
        std::exit(1);
    }
}

// `call` gives back what it made, as bytes that tell it.
void starve(const char* name, const std::function<std::string()>& call) {
    // Tables that the library fills once and keeps are filled before anything is counted.
    const std::string expected = call();
    long failures = 0;
    for (long allowed = 0;; ++allowed) {
        const long before = living;
        bool failed = false;
        std::string seen;
        left = allowed;
        try {
            seen = call();
        } catch (const std::bad_alloc&) {
            failed = true;
        } catch (...) {
            left = -1;
            hold(false, "another exception than std::bad_alloc", allowed);
        }
        left = -1;
        if (!failed) {
            hold(seen == expected, "the answer is another", allowed);
            break;
        }
        hold(living == before, "memory was not given back", allowed);
        ++failures;
    }
    hold(failures > 0, "nothing was allocated", 0);
    // And it still works.
    hold(call() == expected, "after all failures the answer is another", -1);
    std::printf("%s: %ld allocations, each failed once\n", name, failures);
}

std::vector<SourceText> texts() {
    return {test::small_vocabulary(),
            test::small_pack(
                "conditions:\n  low: {reads: it is low, any-of: [height is less than 4 ft, "
                "roofed]}\nprovisions:\n" +
                test::requires_tie_off("high", "height is more than 6 ft") +
                test::frees_tie_off("low", "low") +
                test::provision("reach", "limit: reach, at-most: 30 ft", "mechanism is boom") +
                test::provision("arrest", "choice: means, bars: [arrest]", "gate-open") +
                "worked-cases:\n  - {name: high up, facts: {height: 12 ft, roofed: no}, answers: "
                "{tie-off: required}}\n")};
}

std::string json_of(const Answer& answer) {
    std::string json;
    if (answer.decision) {
        append_json(json, *answer.decision, "case");
    }
    append_json(json, answer.findings);
    return json;
}

std::string loads(std::vector<SourceText> all) {
    const LoadedShelf loaded = load_shelf(std::move(all));
    std::string json = loaded.shelf ? "a shelf" : "none";
    append_json(json, loaded.findings);
    return json;
}

#ifdef TOPRAIL_RECEIPTS
void starve_receipts(const Shelf& shelf, const Facts& facts, Date on) {
    const std::string text = ReceiptMaker(shelf).make(facts, on).text;
    starve("a receipt that is read", [&] { return read_receipt(text).receipt.value().digest; });
    starve("a receipt that was cut off",
           [&] { return read_receipt(text.substr(0, text.size() / 2)).message; });
    // Somebody keeps it until no memory is left.
    std::optional<ReadReceipt> kept = read_receipt(text);
    left = 0;
    kept.reset();
    left = -1;
    std::printf("a receipt that is given back: without an allocation\n");
}
#endif

void starve_all() {
    const std::vector<SourceText> sound = texts();
    std::vector<SourceText> unsound = sound;
    unsound.back().text += "no-such-key: a\nprovisions: twice\n";
    const Shelf shelf = test::shelf_of(sound);
    const Date on = test::day("2024-06-01");
    const Facts open = test::facts_of({{"height", "12 ft"}});
    const Facts wrong = test::facts_of({{"height", "tall"}, {"no-such-fact", "yes"}});
    const Facts known = test::facts_of({{"height", "12 ft"},
                                        {"roofed", "no"},
                                        {"mechanism", "boom"},
                                        {"gate-open", "no"},
                                        {"width", "2 ft"}});
    starve("a shelf that loads", [&] { return loads(sound); });
    starve("a shelf that does not", [&] { return loads(unsound); });
    starve("facts", [&] {
        const FactsFile file =
            read_facts("cases:\n  - {case: a, facts: {height: 12 ft, b: [c]}}\n", "facts.yaml");
        std::string json;
        append_json(json, file.findings);
        return json;
    });
    starve("a case with all facts", [&] { return json_of(shelf.decide(known, on)); });
    starve("a case with facts unknown", [&] { return json_of(shelf.decide(open, on)); });
    starve("a case with wrong facts", [&] { return json_of(shelf.decide(wrong, on)); });
#ifdef TOPRAIL_RECEIPTS
    starve_receipts(shelf, open, on);
#endif
    const Decision decision = test::decided(shelf, open);
    starve("text", [&] { return tell_text(decision, "case", "says", Length::everything); });
    starve("a page", [&] { return tell_html(decision, "case", "says", Length::everything); });
    starve("a drawing", [&] { return draw_dot(decision, "case"); });
    starve("a plan for bulk",
           [&] { return std::to_string(plan_bulk(shelf, on).plan->facts().size()); });
    const BulkPlan plan = *plan_bulk(shelf, on).plan;
    starve("bulk", [&] {
        const std::vector<std::string_view> heights{"12 ft", "3 ft", "not known", "tall", "4 ft"};
        std::vector<BulkColumn> columns(plan.facts().size());
        columns[*plan.fact("height")] = TextColumn(heights);
        std::vector<std::uint8_t> outcomes(plan.duties().size() * heights.size());
        plan.decide(columns, heights.size(), outcomes);
        return std::string(outcomes.begin(), outcomes.end());
    });
}

}  // namespace

int main() {
    std::setvbuf(stdout, nullptr, _IONBF, 0);
    starve_all();
    return 0;
}
