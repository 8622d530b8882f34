// Decides very many cases with the shipped rulepacks and tells how much memory was held on the way,
// and a digest of all answers: two builds that give the same digest gave the same answers.
//
//   toprail-soak SINGLE BULK [SEED]
//
// Cases are made from the seed alone. Exit status 1 when the memory held grew by more than 16 MiB
// after the first tenth of the work: answers are given back, so nothing may pile up.
#include "receipt/digest.hpp"
#include "support/shelves.hpp"
#include "toprail/bulk.hpp"

#include <unistd.h>

#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <fstream>

namespace {

using namespace toprail;

constexpr std::size_t block_cases = std::size_t{1} << 16U;
constexpr std::size_t most_growth = std::size_t{16} << 20U;

// SplitMix64 (Steele, Lea, Flood 2014): the same numbers on every machine.
class Numbers {
  public:
    explicit Numbers(std::uint64_t seed) : state_(seed) {}
    std::uint64_t next() {
        state_ += 0x9E3779B97F4A7C15U;
        std::uint64_t z = state_;
        z = (z ^ (z >> 30U)) * 0xBF58476D1CE4E5B9U;
        z = (z ^ (z >> 27U)) * 0x94D049BB133111EBU;
        return z ^ (z >> 31U);
    }
    std::size_t below(std::size_t end) { return static_cast<std::size_t>(next() % end); }

  private:
    std::uint64_t state_;
};

// Resident bytes, from Linux's own account.
std::size_t resident() {
    std::size_t size = 0;
    std::size_t pages = 0;
    std::ifstream("/proc/self/statm") >> size >> pages;
    return pages * static_cast<std::size_t>(::sysconf(_SC_PAGESIZE));
}

class Memory {
  public:
    // Called over and over, with how much of the work is done.
    void look(std::size_t done, std::size_t all) {
        const std::size_t now = resident();
        if (done * 10 < all) {
            first_ = now;
        }
        most_ = std::max(most_, now);
    }
    // False when it grew.
    [[nodiscard]] bool tell(const char* what) const {
        std::printf("%s: %zu KiB resident after a tenth, at most %zu KiB\n", what, first_ / 1024,
                    most_ / 1024);
        return most_ <= first_ + most_growth;
    }

  private:
    std::size_t first_ = resident();
    std::size_t most_ = 0;
};

std::string some_value(const FactInfo& fact, Numbers& numbers) {
    const std::size_t pick = numbers.below(64);
    if (fact.may_not_apply && pick == 0) {
        return "does not apply";
    }
    if (fact.type == "yes-no") {
        return pick % 2 == 0 ? "yes" : "no";
    }
    if (fact.type == "choice") {
        return fact.values[pick % fact.values.size()];
    }
    if (fact.type == "date") {
        return std::to_string(1960 + pick) + "-06-01";
    }
    return std::to_string(pick) + (fact.unit.empty() ? "" : " " + fact.unit);
}

// Every case knows about half of its facts; the digest goes over what was decided, in words.
bool decide_single(const Shelf& shelf, std::size_t cases, Numbers& numbers) {
    const std::vector<FactInfo> infos = shelf.facts();
    const Date on = test::day("2024-06-01");
    Memory memory;
    std::string digest;
    std::string block;
    std::size_t unusable = 0;
    for (std::size_t i = 0; i < cases; ++i) {
        Facts facts;
        for (const FactInfo& fact : infos) {
            if (numbers.below(2) == 0) {
                facts.set(fact.name, some_value(fact, numbers));
            }
        }
        const Answer answer = shelf.decide(facts, on);
        if (!answer.decision) {
            ++unusable;
            block += '!';
        } else {
            for (const DutyDecision& duty : answer.decision->duties) {
                block += duty.duty + static_cast<char>('0' + static_cast<int>(duty.outcome));
                for (const std::string& fact : duty.settled_by) {
                    block += fact;
                }
            }
        }
        if (block.size() > block_cases) {
            digest = digest_of(digest + block);
            block.clear();
        }
        memory.look(i, cases);
    }
    std::printf("single: %zu decisions, %zu of them refused, digest %s\n", cases, unusable,
                digest_of(digest + block).c_str());
    return memory.tell("single");
}

bool decide_bulk(const Shelf& shelf, std::size_t cases, Numbers& numbers) {
    const BulkPlan plan = *plan_bulk(shelf, test::day("2024-06-01")).plan;
    std::vector<std::vector<std::uint8_t>> bytes;
    for (const BulkFact& fact : plan.facts()) {
        bytes.emplace_back(fact.used ? block_cases : 0);
    }
    std::vector<std::uint8_t> outcomes(plan.duties().size() * block_cases);
    BulkRun run;
    run.search = false;
    Memory memory;
    std::string digest;
    for (std::size_t done = 0; done < cases; done += block_cases) {
        std::vector<BulkColumn> columns(bytes.size());
        for (std::size_t fact = 0; fact < bytes.size(); ++fact) {
            for (std::uint8_t& byte : bytes[fact]) {
                const std::size_t pick = numbers.below(plan.facts()[fact].classes + 1);
                byte = pick == plan.facts()[fact].classes ? bulk_not_known
                                                          : static_cast<std::uint8_t>(pick);
            }
            if (!bytes[fact].empty()) {
                columns[fact] = ClassColumn(bytes[fact]);
            }
        }
        plan.decide(columns, block_cases, outcomes, run);
        digest = digest_of(digest + std::string(outcomes.begin(), outcomes.end()));
        memory.look(done, cases);
    }
    std::printf("bulk: %zu decisions without search, digest %s\n",
                (cases + block_cases - 1) / block_cases * block_cases, digest.c_str());
    return memory.tell("bulk");
}

}  // namespace

int main(int count, char** words) {
    if (count < 3) {
        std::fprintf(stderr, "toprail-soak SINGLE BULK [SEED]\n");
        return 2;
    }
    Numbers numbers(count > 3 ? std::strtoull(words[3], nullptr, 10) : 1);
    const Shelf& shelf = test::shipped_shelf();
    const bool single = decide_single(shelf, std::strtoull(words[1], nullptr, 10), numbers);
    const bool bulk = decide_bulk(shelf, std::strtoull(words[2], nullptr, 10), numbers);
    return single && bulk ? 0 : 1;
}
