// Entry point: BulkPlan::decide_rows.
#include "bulk/plan_data.hpp"

#include <algorithm>
#include <stdexcept>

namespace toprail {
namespace {

// Cases that are turned into columns at once: a whole number of groups, and enough for threads.
constexpr std::size_t cases_at_once = std::size_t{1} << 17U;
// Turned together, so that a row is read from the nearest cache for every fact.
constexpr std::size_t rows_at_once = 64;

using Columns = std::vector<std::vector<std::uint8_t>>;

void turn(const std::uint8_t* rows, std::size_t count, std::size_t facts, Columns& columns) {
    for (std::size_t begin = 0; begin < count; begin += rows_at_once) {
        const std::size_t end = std::min(begin + rows_at_once, count);
        for (std::size_t f = 0; f < facts; ++f) {
            if (columns[f].empty()) {
                continue;
            }
            for (std::size_t i = begin; i < end; ++i) {
                columns[f][i] = rows[i * facts + f];
            }
        }
    }
}

}  // namespace

BulkReport BulkPlan::decide_rows(std::span<const std::uint8_t> rows, std::size_t cases,
                                 std::span<std::uint8_t> outcomes, const BulkRun& run) const {
    const std::size_t facts = this->facts().size();
    if (rows.size() != cases * facts) {
        throw std::invalid_argument("a class byte for every fact of every case is needed");
    }
    if (outcomes.size() != duties().size() * cases ||
        (!run.statuses.empty() && run.statuses.size() != status_bytes(cases))) {
        throw std::invalid_argument("outcomes take one byte per duty and case, and statuses "
                                    "status_bytes(cases)");
    }
    const std::size_t most = std::min(cases, cases_at_once);
    Columns columns(facts);
    for (std::size_t f = 0; f < facts; ++f) {
        columns[f].resize(this->facts()[f].used ? most : 0);
    }
    std::vector<std::uint8_t> part(duties().size() * most);
    BulkReport report;
    for (std::size_t begin = 0; begin < cases || begin == 0; begin += cases_at_once) {
        const std::size_t count = std::min(cases - begin, cases_at_once);
        turn(rows.data() + begin * facts, count, facts, columns);
        std::vector<BulkColumn> spans(facts);
        for (std::size_t f = 0; f < facts; ++f) {
            if (!columns[f].empty()) {
                spans[f] = ClassColumn(columns[f].data(), count);
            }
        }
        BulkRun how = run;
        if (!run.statuses.empty()) {
            how.statuses = run.statuses.subspan(status_bytes(begin), status_bytes(count));
        }
        if (run.progress) {
            how.progress = [&run, begin](std::size_t done) { run.progress(begin + done); };
        }
        const std::span<std::uint8_t> to = std::span(part).first(duties().size() * count);
        const BulkReport one = decide(spans, count, to, how);
        for (std::size_t d = 0; d < duties().size(); ++d) {
            std::copy_n(to.begin() + static_cast<std::ptrdiff_t>(d * count), count,
                        outcomes.begin() + static_cast<std::ptrdiff_t>(d * cases + begin));
        }
        report.cases += one.cases;
        report.searched += one.searched;
        report.beyond_plan += one.beyond_plan;
        report.without_values += one.without_values;
        report.no_answer += one.no_answer;
        report.vectors = one.vectors;
    }
    return report;
}

}  // namespace toprail
