// Decides very many cases with the shipped rulepacks and tells how much memory was held on the way,
// and a digest of all answers: two builds that give the same digest gave the same answers.
//
//   toprail-soak WHOLE SINGLE BULK [SEED [VECTORS]]
//
// WHOLE cases go through Shelf::decide, with all that it tells; SINGLE cases one after another
// through a CaseDecider, which gives outcomes alone; BULK cases through BulkPlan::decide, by the
// vectors that are named ("portable", "avx2", "avx512"; the widest without). Cases are made from
// the seed alone. Exit status 1 when the memory held grew by more than 16 MiB after the first tenth
// of the work (answers are given back, so nothing may pile up), and when single and bulk disagree.
#include "deciding/bound.hpp"
#include "receipt/digest.hpp"
#include "shelf/shelf_data.hpp"
#include "support/shelves.hpp"
#include "toprail/bulk.hpp"
#include "toprail/case_decider.hpp"

#include <unistd.h>

#include <algorithm>
#include <array>
#include <cstdio>
#include <cstdlib>
#include <fstream>

namespace {

using namespace toprail;

constexpr std::size_t block_cases = std::size_t{1} << 16U;
constexpr std::size_t most_growth = std::size_t{TOPRAIL_MOST_GROWTH_MIB} << 20U;

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
bool decide_whole(const Shelf& shelf, std::size_t cases, Numbers& numbers) {
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
    std::printf("whole: %zu decisions, %zu of them refused, digest %s\n", cases, unusable,
                digest_of(digest + block).c_str());
    // Days before a first edition have no answer; most cases must have one, or nothing was soaked.
    return memory.tell("whole") && unusable * 2 <= cases;
}

// A byte of each class of a fact, and those for what is not known and what does not apply.
std::vector<std::vector<std::uint8_t>> bytes_of(const BulkPlan& plan) {
    std::vector<std::vector<std::uint8_t>> all;
    for (std::size_t fact = 0; fact < plan.facts().size(); ++fact) {
        std::vector<std::uint8_t>& bytes = all.emplace_back();
        if (!plan.facts()[fact].used) {
            continue;
        }
        for (std::size_t each = 0; each < plan.facts()[fact].classes; ++each) {
            bytes.push_back(static_cast<std::uint8_t>(each));
        }
        bytes.push_back(bulk_not_known);
        if (const auto byte = plan.class_of(fact, "does not apply")) {
            bytes.push_back(*byte);
        }
    }
    return all;
}

// Every block of cases draws an eighth of the facts anew, in turns, the first draws all: drawing
// all would take longer than deciding, and a case is another one when a single fact is.
constexpr std::size_t turns = 8;
bool drawn_in(std::size_t block, std::size_t fact) {
    return block == 0 || fact % turns == block % turns;
}

// A sum over all outcomes in their order, quick beside what it sums over; told as a digest.
class Sum {
  public:
    void add(const std::vector<std::uint8_t>& outcomes) {
        for (std::size_t at = 0; at + 8 <= outcomes.size(); at += 8) {
            std::uint64_t word = 0;
            for (std::size_t i = 0; i < 8; ++i) {
                word |= std::uint64_t{outcomes[at + i]} << (8 * i);
            }
            std::uint64_t& lane = lanes_[at / 8 % lanes_.size()];
            lane = (lane ^ word) * 0x9E3779B97F4A7C15U;
            lane ^= lane >> 29U;
        }
    }
    [[nodiscard]] std::string digest() const {
        std::string all;
        for (const std::uint64_t lane : lanes_) {
            all += std::to_string(lane) + " ";
        }
        return digest_of(all);
    }

  private:
    std::array<std::uint64_t, 4> lanes_{};
};

// Puts one of the bytes of a fact into every `step`th place.
void pick(std::span<std::uint8_t> into, std::size_t step, const std::vector<std::uint8_t>& from,
          Numbers& numbers) {
    std::uint64_t drawn = 0;
    std::size_t left = 0;
    for (std::size_t at = 0; at < into.size(); at += step) {
        if (left == 0) {
            drawn = numbers.next();
            left = 4;
        }
        into[at] = from[((drawn & 0xFFFFU) * from.size()) >> 16U];
        drawn >>= 16U;
        --left;
    }
}

// One case after another, each given as classes; the same cases are decided in bulk, and both have
// to say the same.
bool decide_single(const BulkPlan& plan, std::size_t cases, Numbers& numbers,
                   std::string_view vectors) {
    const std::vector<std::vector<std::uint8_t>> bytes = bytes_of(plan);
    const std::size_t facts = bytes.size();
    const std::size_t duties = plan.duties().size();
    std::vector<std::uint8_t> rows(facts * block_cases);
    std::vector<std::uint8_t> in_bulk(duties * block_cases);
    std::vector<std::uint8_t> outcomes(duties * block_cases);
    CaseDecider decider(plan);
    BulkRun run;
    run.search = false;
    run.vectors = vectors;
    Memory memory;
    Sum sum;
    std::size_t other = 0;
    std::size_t settled = 0;
    std::size_t done = 0;
    for (; done < cases; done += block_cases) {
        for (std::size_t fact = 0; fact < facts; ++fact) {
            if (!bytes[fact].empty() && drawn_in(done / block_cases, fact)) {
                pick(std::span(rows).subspan(fact), facts, bytes[fact], numbers);
            }
        }
        plan.decide_rows(rows, block_cases, in_bulk, run);
        for (std::size_t i = 0; i < block_cases; ++i) {
            const std::span<const std::uint8_t> told =
                decider.decide(std::span(rows).subspan(i * facts, facts));
            for (std::size_t duty = 0; duty < duties; ++duty) {
                const std::size_t at = duty * block_cases + i;
                outcomes[at] = told[duty];
                other += told[duty] != in_bulk[at] ? 1U : 0U;
                settled += told[duty] < static_cast<std::uint8_t>(Outcome::undetermined) ? 1U : 0U;
            }
        }
        sum.add(outcomes);
        memory.look(done, cases);
    }
    std::printf("single: %zu decisions of %zu duties, %zu other than in bulk, %.1f %% settled, "
                "digest %s\n",
                done, duties, other,
                100.0 * static_cast<double>(settled) / static_cast<double>(done * duties + 1),
                sum.digest().c_str());
    return memory.tell("single") && other == 0;
}

bool decide_bulk(const BulkPlan& plan, std::size_t cases, Numbers& numbers,
                 std::string_view vectors) {
    const std::vector<std::vector<std::uint8_t>> bytes = bytes_of(plan);
    std::vector<std::vector<std::uint8_t>> picked;
    for (const std::vector<std::uint8_t>& each : bytes) {
        picked.emplace_back(each.empty() ? 0 : block_cases);
    }
    std::vector<std::uint8_t> outcomes(plan.duties().size() * block_cases);
    BulkRun run;
    run.search = false;
    run.vectors = vectors;
    Memory memory;
    Sum sum;
    std::string_view used;
    std::size_t done = 0;
    for (; done < cases; done += block_cases) {
        std::vector<BulkColumn> columns(bytes.size());
        for (std::size_t fact = 0; fact < bytes.size(); ++fact) {
            if (!bytes[fact].empty()) {
                if (drawn_in(done / block_cases, fact)) {
                    pick(picked[fact], 1, bytes[fact], numbers);
                }
                columns[fact] = ClassColumn(picked[fact]);
            }
        }
        used = plan.decide(columns, block_cases, outcomes, run).vectors;
        sum.add(outcomes);
        memory.look(done, cases);
    }
    std::printf("bulk: %zu decisions without search, digest %s\n", done, sum.digest().c_str());
    std::printf("vectors: %.*s\n", static_cast<int>(used.size()), used.data());
    return memory.tell("bulk");
}

}  // namespace

int main(int count, char** words) {
    if (count < 4) {
        std::fprintf(stderr, "toprail-soak WHOLE SINGLE BULK [SEED [VECTORS]]\n");
        return 2;
    }
    const auto number = [&](int at) { return std::strtoull(words[at], nullptr, 10); };
    Numbers numbers(count > 4 ? number(4) : 1);
    const std::string_view vectors = count > 5 ? words[5] : "";
    const Shelf& shelf = test::shipped_shelf();
    const BulkPlan plan = *plan_bulk(shelf, test::day("2024-06-01")).plan;
    const bool whole = decide_whole(shelf, number(1), numbers);
    const bool single = decide_single(plan, number(2), numbers, vectors);
    const bool bulk = decide_bulk(plan, number(3), numbers, vectors);
    return whole && single && bulk ? 0 : 1;
}
