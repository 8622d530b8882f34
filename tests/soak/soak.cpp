// Decides very many cases with the shipped rulepacks and tells how much memory was held on the way,
// and a digest of all answers: two builds that give the same digest gave the same answers.
//
//   toprail-soak SINGLE BULK [SEED]
//
// Cases are made from the seed alone. Exit status 1 when the memory held grew by more than 16 MiB
// after the first tenth of the work: answers are given back, so nothing may pile up.
#include "deciding/bound.hpp"
#include "receipt/digest.hpp"
#include "shelf/shelf_data.hpp"
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

// A fact and texts of it that can be used: a case of values out of range decides nothing.
struct Choice {
    std::string fact;
    std::vector<std::string> values;
};

std::vector<Choice> choices_of(const Shelf& shelf) {
    const Model& model = shelf.data().model;
    std::vector<Choice> all;
    for (std::size_t f = 0; f < model.facts.size(); ++f) {
        const Fact& fact = model.facts[f];
        std::vector<std::string> tried = fact.values;
        if (fact.type == FactType::yes_no) {
            tried = {"yes", "no"};
        } else if (fact.type == FactType::date) {
            tried = {"1995-06-01", "2015-06-01", "2018-06-01", "2024-06-01"};
        } else if (tried.empty()) {
            for (const int n : {0, 1, 2, 3, 5, 8, 13, 21, 34, 60, 100, 300, 1000, 3000, 10000}) {
                tried.push_back(std::to_string(n) + (fact.unit.empty() ? "" : " " + fact.unit));
            }
        }
        if (fact.may_not_apply) {
            tried.emplace_back("does not apply");
        }
        Choice choice{fact.name, {}};
        for (std::string& text : tried) {
            Findings findings(Limits{}.findings);
            if (bind_fact(model, FactId(f), text, findings)) {
                choice.values.push_back(std::move(text));
            }
        }
        if (!choice.values.empty()) {
            all.push_back(std::move(choice));
        }
    }
    return all;
}

// Every case knows about half of its facts; the digest goes over what was decided, in words.
bool decide_single(const Shelf& shelf, std::size_t cases, Numbers& numbers) {
    const std::vector<Choice> choices = choices_of(shelf);
    const Date on = test::day("2024-06-01");
    Memory memory;
    std::string digest;
    std::string block;
    std::size_t unusable = 0;
    for (std::size_t i = 0; i < cases; ++i) {
        Facts facts;
        for (const Choice& choice : choices) {
            if (numbers.below(2) == 0) {
                facts.set(choice.fact, choice.values[numbers.below(choice.values.size())]);
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
    // Days before a first edition have no answer; most cases must have one, or nothing was soaked.
    return memory.tell("single") && unusable * 2 < cases;
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
