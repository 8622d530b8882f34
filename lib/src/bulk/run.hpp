// A run over columns: what is read from them, and one thread's share of the work.
#pragma once

#include "bulk/plan_data.hpp"
#include "bulk/reals.hpp"

#include <array>
#include <cstdint>
#include <memory>
#include <string>
#include <unordered_map>
#include <vector>

namespace toprail::bulk {

/// Cases that a thread takes at once: a whole number of blocks of every kernel.
inline constexpr std::size_t chunk_cases = 16384;

std::uint8_t class_byte(const BulkPlan::Data& plan, std::size_t fact, const BoundFact& value);

/// A number column of one fact, with its classes counted in its own unit.
struct NumberReader {
    Number scale;
    std::vector<std::int64_t> starts;
    std::int64_t least = 0;
    std::int64_t most = 0;
};

/// Throws std::invalid_argument when the fact takes no numbers in that unit.
NumberReader reader_of(const BulkPlan::Data& plan, std::size_t fact_index, const std::string& unit);

/// The columns of one run. Shared by its threads; the columns must outlive it.
struct Input {
    /// Throws std::invalid_argument when a column of numbers does not fit its fact.
    Input(const BulkPlan::Data& plan, const std::vector<BulkColumn>& given);

    const std::vector<BulkColumn>& columns;
    std::vector<NumberReader> numbers;  // per FactId
    std::vector<RealReader> reals;      // per FactId
    std::vector<std::size_t> to_read;   // facts whose columns are not class bytes already
    bool values_matter = false;         // some column has values of a fact that needs them
};

/// The kernel of that name; the widest that the processor has where it has none.
const Kernel& kernel_named(std::string_view name);

/// Where outcomes go: one duty after the other.
struct Output {
    std::uint8_t* bytes = nullptr;
    std::size_t cases = 0;
    std::uint8_t* statuses = nullptr;  // may be null
    // May be null; laid out like `bytes`. Where the search leaves a duty open: the bit of each
    // Outcome that can be reached. Other places are left as they are.
    std::uint8_t* possible = nullptr;
    [[nodiscard]] std::uint8_t* at(std::size_t duty, std::size_t index) const {
        return bytes + duty * cases + index;
    }
};

/// One thread's part. Not thread-safe.
class Worker {
  public:
    Worker(const BulkPlan::Data& plan, const Input& input, const Kernel& kernel, const BulkRun& run,
           Output output);

    void decide(std::size_t begin, std::size_t count);
    void add_to(BulkReport& report) const;

  private:
    struct Text {
        std::optional<BoundFact> value;
        std::uint8_t byte = byte_not_known;
    };

    void read_column(std::size_t fact, std::size_t begin, std::size_t count);
    void read_numbers(std::size_t fact, std::size_t begin, std::size_t count);
    void read_reals(std::size_t fact, std::size_t begin, std::size_t count);
    void read_codes(std::size_t fact, std::size_t begin, std::size_t count);
    void read_texts(std::size_t fact, std::size_t begin, std::size_t count);
    void mark_unusable(std::size_t at);
    void run_kernel(std::size_t begin, std::size_t count);
    [[nodiscard]] std::uint8_t* status_bytes(std::size_t begin);
    void run_tail(std::size_t begin, std::size_t rest, void* scratch);
    void search_open(std::size_t begin, std::size_t count);
    void search(std::size_t index, std::size_t at);
    /// False when the column holds a class where a value would be needed.
    bool bind(std::size_t fact, std::size_t index, BoundFact& bound);
    const Text& text(std::size_t fact, std::string_view text);
    const std::uint8_t* class_bytes(std::size_t fact, std::size_t begin) const;
    struct Found {
        std::vector<std::uint8_t> outcomes;
        std::vector<std::uint8_t> possible;  // where the output takes them
    };
    void write(std::size_t index, const Found& found);

    const BulkPlan::Data& plan_;
    const Input& input_;
    const Kernel& kernel_;
    const BulkRun& run_;
    Output output_;
    BulkReport report_;

    std::vector<std::vector<std::uint8_t>> read_;  // per FactId; class bytes of the chunk
    std::vector<std::uint8_t> unknown_;            // a chunk of "not known"
    std::vector<std::uint8_t> unusable_;           // per case of the chunk
    bool any_unusable_ = false;
    std::vector<std::uint8_t> tail_in_;
    std::vector<std::uint8_t> tail_out_;
    std::vector<std::uint8_t> tail_statuses_;
    std::vector<std::uint64_t> scratch_;
    std::vector<const std::uint8_t*> in_;
    std::vector<std::uint8_t*> out_;
    std::vector<BoundFact> bound_;
    Found found_;
    // Cases of equal classes come to the same, where classes tell enough.
    std::unordered_map<std::string, Found> known_;
    std::vector<std::unordered_map<std::string, Text, TextHash, std::equal_to<>>> texts_;
};

}  // namespace toprail::bulk
