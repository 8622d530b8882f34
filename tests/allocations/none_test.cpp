// Once warm, deciding one case takes nothing from the heap. A program of its own, for it counts
// every call of operator new.
#include "support/shelves.hpp"
#include "toprail/case_decider.hpp"

#include <doctest/doctest.h>

#include <atomic>
#include <cstdlib>
#include <new>
#include <random>
#include <vector>

namespace {

std::atomic<std::size_t> taken{0};

void* take(std::size_t size) {
    ++taken;
    if (void* const at = std::malloc(size == 0 ? 1 : size)) {
        return at;
    }
    throw std::bad_alloc();
}

}  // namespace

void* operator new(std::size_t size) {
    return take(size);
}
void* operator new[](std::size_t size) {
    return take(size);
}
void operator delete(void* at) noexcept {
    std::free(at);
}
void operator delete[](void* at) noexcept {
    std::free(at);
}
void operator delete(void* at, std::size_t) noexcept {
    std::free(at);
}
void operator delete[](void* at, std::size_t) noexcept {
    std::free(at);
}

namespace {

using namespace toprail;

TEST_CASE("allocations: none for outcomes, statuses and the JSON trail of one case") {
    BulkOptions how;
    how.statuses = true;
    const BulkPlan plan = *plan_bulk(test::shipped_shelf(), *Date::parse("2024-06-01"), how).plan;
    CaseDecider decider(plan);
    const std::size_t height = *plan.fact("platform-height");
    decider.count_in(height, "in");
    std::string trail;
    std::mt19937 random(2);
    const auto decide_one = [&] {
        decider.clear();
        for (std::size_t f = 0; f < plan.facts().size(); ++f) {
            if (random() % 10 != 0) {
                decider.set_class(f, static_cast<std::uint8_t>(random() % plan.facts()[f].classes));
            }
        }
        decider.set("lift-mechanism", random() % 2 == 0 ? "scissor" : "telescopic-boom");
        decider.set(height, random() % 2 == 0 ? "14 ft" : "4 ft");
        decider.set_number(height, static_cast<std::int64_t>(random() % 200));
        decider.decide();
        decider.statuses();
        trail.clear();
        decider.append_json(trail);
        return trail.size();
    };
    for (int i = 0; i < 100; ++i) {
        decide_one();
    }
    // A check that fails takes from the heap, and one that does not may: none is made meanwhile.
    const std::size_t before = taken;
    std::size_t bytes = 0;
    for (int i = 0; i < 1'000; ++i) {
        bytes += decide_one();
    }
    const std::size_t after = taken;
    CHECK(after == before);
    CHECK(bytes > 0);
}

TEST_CASE("allocations: the counter counts") {
    const std::size_t before = taken;
    const std::vector<int> some(100);
    CHECK(taken > before);
    CHECK(some.size() == 100);
}

}  // namespace
