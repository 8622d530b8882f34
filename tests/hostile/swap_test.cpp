// Many threads decide, singly and in bulk, while editions are swapped: every answer belongs wholly
// to one edition. Run under the preset tsan this also shows that nothing is shared unguarded.
//
// The host swaps the copy that new cases use, as shelf.hpp says. Its own lock covers taking that
// copy; deciding takes none.
#include "support/small_shelf.hpp"
#include "toprail/bulk.hpp"
#include "toprail/telling.hpp"

#include <doctest/doctest.h>

#include <atomic>
#include <memory>
#include <mutex>
#include <thread>
#include <utility>

using namespace toprail;
using namespace toprail::test;

namespace {

constexpr std::size_t editions = 4;
constexpr std::size_t threads = 4;
constexpr int rounds = 150;
// Deciding goes on until so many swaps happened beside it, however threads are given their turns.
constexpr std::size_t least_swaps = 64;

// Edition N carries its number in every part of an answer: title, citation, gist, bound, outcome.
struct Edition {
    explicit Edition(std::size_t number)
        : shelf(shelf_of({small_vocabulary(),
                          small_pack("provisions:\n  - {id: one, cite: Edition " +
                                     std::to_string(number) + ", source: read, gist: Of edition " +
                                     std::to_string(number) + ", duty: tie-off, calls-for: " +
                                     (number % 2 == 0 ? "required" : "not required") +
                                     ", where: height is more than 6 ft}\n"
                                     "  - {id: two, cite: Edition " +
                                     std::to_string(number) + ", source: read, gist: Of edition " +
                                     std::to_string(number) + ", limit: reach, at-most: " +
                                     std::to_string(10 + number) + " ft}\n")})),
          plan(*plan_bulk(shelf, day("2024-06-01")).plan),
          number_(number) {}

    [[nodiscard]] std::size_t number() const { return number_; }

    Shelf shelf;
    BulkPlan plan;

  private:
    std::size_t number_;
};

class Current {
  public:
    explicit Current(std::shared_ptr<const Edition> first) : edition_(std::move(first)) {}
    std::shared_ptr<const Edition> take() const {
        const std::lock_guard guard(lock_);
        return edition_;
    }
    void swap_in(std::shared_ptr<const Edition> next) {
        // The one before goes away outside the lock, if nobody decides with it any more.
        const std::lock_guard guard(lock_);
        edition_.swap(next);
    }

  private:
    mutable std::mutex lock_;
    std::shared_ptr<const Edition> edition_;
};

// Which edition the answer is of; the number of editions when its parts disagree.
std::size_t edition_of(const Decision& decision) {
    for (std::size_t number = 0; number < editions; ++number) {
        const std::string cite = "Edition " + std::to_string(number);
        const std::string bound = std::to_string(10 + number) + " ft";
        const Outcome outcome = number % 2 == 0 ? Outcome::required : Outcome::not_required;
        bool all = tie_off(decision).outcome == outcome && !decision.trail.empty() &&
                   decision.limit("reach") != nullptr &&
                   decision.limit("reach")->bounds.front().text == bound;
        for (const Step& step : decision.trail) {
            all = all && step.cite == cite && step.gist == "Of edition " + std::to_string(number);
        }
        if (all) {
            return number;
        }
    }
    return editions;
}

// The asserts of the test library take a lock; faults are counted and looked at afterwards.
std::size_t faults_of_deciding(const Current& current, const std::atomic<std::size_t>& swaps) {
    std::size_t faults = 0;
    const Facts facts = facts_of({{"height", "12 ft"}, {"width", "2 ft"}});
    const std::vector<std::string_view> heights(64, "12 ft");
    for (int round = 0; round < rounds || swaps < least_swaps; ++round) {
        const std::shared_ptr<const Edition> mine = current.take();
        const Decision decision = decided(mine->shelf, facts);
        faults += edition_of(decision) == mine->number() ? 0U : 1U;
        std::vector<BulkColumn> columns(mine->plan.facts().size());
        columns[*mine->plan.fact("height")] = TextColumn(heights);
        std::vector<std::uint8_t> outcomes(mine->plan.duties().size() * heights.size());
        BulkRun run;
        run.threads = 2;
        mine->plan.decide(columns, heights.size(), outcomes, run);
        const auto expected = static_cast<std::uint8_t>(
            mine->number() % 2 == 0 ? Outcome::required : Outcome::not_required);
        for (std::size_t i = 0; i < heights.size(); ++i) {
            faults += outcomes[i] == expected ? 0U : 1U;  // tie-off is the first duty
        }
    }
    return faults;
}

}  // namespace

TEST_CASE("swap: every answer belongs wholly to one edition") {
    std::vector<std::shared_ptr<const Edition>> all;
    for (std::size_t number = 0; number < editions; ++number) {
        all.push_back(std::make_shared<const Edition>(number));
    }
    Current current(all.front());
    std::atomic<bool> done = false;
    std::atomic<std::size_t> swaps = 0;
    std::vector<std::size_t> faults(threads);
    std::vector<std::thread> deciding;
    for (std::size_t i = 0; i < threads; ++i) {
        deciding.emplace_back([&, i] { faults[i] = faults_of_deciding(current, swaps); });
    }
    std::thread swapping([&] {
        // The last copy of an edition may go away in a thread that still decides with it.
        for (; !done; ++swaps) {
            current.swap_in(swaps % 16 == 15 ? std::make_shared<const Edition>(swaps % editions)
                                             : all[swaps % editions]);
            std::this_thread::yield();
        }
    });
    for (std::thread& each : deciding) {
        each.join();
    }
    done = true;
    swapping.join();
    CHECK(swaps >= least_swaps);
    for (const std::size_t each : faults) {
        CHECK(each == 0);
    }
}

TEST_CASE("swap: threads that share one shelf give the same bytes") {
    const Edition edition(2);
    const auto told_by = [&edition] {
        std::string json;
        append_json(json, decided(edition.shelf, {{"width", "2 ft"}}), "case");
        return json;
    };
    const std::string expected = told_by();
    std::vector<std::size_t> faults(threads);
    std::vector<std::thread> telling;
    for (std::size_t i = 0; i < threads; ++i) {
        telling.emplace_back([&, i] {
            for (int round = 0; round < rounds; ++round) {
                faults[i] += told_by() == expected ? 0U : 1U;
            }
        });
    }
    for (std::thread& each : telling) {
        each.join();
    }
    for (const std::size_t each : faults) {
        CHECK(each == 0);
    }
}
