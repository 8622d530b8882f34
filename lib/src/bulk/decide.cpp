// Entry points: BulkPlan::decide, BulkPlan::class_of, BulkPlan::vectors.
#include "bulk/plan_data.hpp"
#include "bulk/run.hpp"
#include "shelf/shelf_data.hpp"

#include <algorithm>
#include <atomic>
#include <exception>
#include <mutex>
#include <new>
#include <stdexcept>
#include <system_error>
#include <thread>

namespace toprail {
namespace bulk {
namespace {

bool has(const Kernel& kernel) {
#if defined(__x86_64__)
    if (&kernel == &avx2_kernel) {
        return __builtin_cpu_supports("avx2") != 0;
    }
    if (&kernel == &avx512_kernel) {
        return __builtin_cpu_supports("avx512f") != 0 && __builtin_cpu_supports("avx512bw") != 0 &&
               __builtin_cpu_supports("avx512dq") != 0 && __builtin_cpu_supports("avx512vl") != 0;
    }
#endif
    return &kernel == &portable_kernel;
}

std::vector<const Kernel*> kernels() {
    std::vector<const Kernel*> list;
#if defined(__x86_64__)
    for (const Kernel* kernel : {&avx512_kernel, &avx2_kernel}) {
        if (has(*kernel)) {
            list.push_back(kernel);
        }
    }
#endif
    list.push_back(&portable_kernel);
    return list;
}

}  // namespace

const Kernel& kernel_named(std::string_view name) {
    static const std::vector<const Kernel*> all = kernels();
    for (const Kernel* kernel : all) {
        if (name == kernel->name) {
            return *kernel;
        }
    }
    return *all.front();
}

namespace {

// How many cases a column holds; an empty one fits any number.
struct Length {
    std::size_t cases;
    std::size_t operator()(std::monostate /*not known*/) const { return cases; }
    std::size_t operator()(ClassColumn column) const { return column.size(); }
    std::size_t operator()(const NumberColumn& column) const { return column.values.size(); }
    std::size_t operator()(const RealColumn& column) const { return column.values.size(); }
    std::size_t operator()(const CodedColumn& column) const { return column.codes.size(); }
    std::size_t operator()(TextColumn column) const { return column.size(); }
};

std::size_t status_bytes(const BulkPlan::Data& plan, std::size_t cases) {
    const std::size_t groups = (cases + group_cases - 1) / group_cases;
    return groups * plan.statuses.size() * 2 * group_plane_bytes;
}

unsigned status_at(const BulkPlan::Data& plan, std::span<const std::uint8_t> statuses,
                   std::size_t row, std::size_t index) {
    const std::size_t at = index % group_cases;
    const std::size_t byte = at % 64;
    const std::uint8_t* const planes =
        statuses.data() +
        (index / group_cases * plan.statuses.size() + row) * 2 * group_plane_bytes;
    const std::size_t bit = at / 64;
    return ((planes[byte] >> bit) & 1U) | (((planes[group_plane_bytes + byte] >> bit) & 1U) << 1);
}

void check_sizes(const BulkPlan::Data& plan, const std::vector<BulkColumn>& columns,
                 std::size_t cases, std::size_t outcomes, std::size_t statuses) {
    if (columns.size() != plan.facts.size()) {
        throw std::invalid_argument("a column for every fact of the plan is needed");
    }
    if (outcomes != plan.duties.size() * cases) {
        throw std::invalid_argument("outcomes take one byte per duty and case");
    }
    if (statuses != 0 && (plan.statuses.empty() || statuses != status_bytes(plan, cases))) {
        throw std::invalid_argument(plan.statuses.empty() ? "the plan was made without statuses"
                                                          : "statuses take status_bytes(cases)");
    }
    for (const BulkColumn& column : columns) {
        if (std::visit(Length{cases}, column) != cases) {
            throw std::invalid_argument("a column holds another number of cases");
        }
    }
}

}  // namespace
}  // namespace bulk

std::optional<std::uint8_t> BulkPlan::class_of(std::size_t fact, std::string_view text) const {
    Findings findings;
    const auto bound = bind_fact(data_->shelf.data().model, FactId(fact), text, findings);
    return bound ? std::optional(bulk::class_byte(*data_, fact, *bound)) : std::nullopt;
}

std::vector<std::string_view> BulkPlan::vectors() {
    std::vector<std::string_view> names;
    for (const bulk::Kernel* kernel : bulk::kernels()) {
        names.emplace_back(kernel->name);
    }
    return names;
}

std::size_t BulkPlan::status_bytes(std::size_t cases) const {
    return bulk::status_bytes(*data_, cases);
}

Status BulkPlan::status(std::span<const std::uint8_t> statuses, std::size_t provision,
                        std::size_t index) const {
    return static_cast<Status>(bulk::status_at(*data_, statuses, provision, index));
}

Perhaps BulkPlan::governs(std::span<const std::uint8_t> statuses, std::size_t authority,
                          std::size_t index) const {
    const unsigned status =
        bulk::status_at(*data_, statuses, data_->provisions.size() + authority, index);
    return status == static_cast<unsigned>(Status::open)    ? Perhaps::possibly
           : status == static_cast<unsigned>(Status::falls) ? Perhaps::no
                                                            : Perhaps::yes;
}

BulkReport BulkPlan::decide(const std::vector<BulkColumn>& columns, std::size_t cases,
                            std::span<std::uint8_t> outcomes, const BulkRun& run) const {
    bulk::check_sizes(*data_, columns, cases, outcomes.size(), run.statuses.size());
    const bulk::Kernel& kernel = bulk::kernel_named(run.vectors);
    const bulk::Input input(*data_, columns);
    BulkReport report;
    report.cases = cases;
    report.vectors = kernel.name;
    // Chunks are taken in turn and written in place: order is kept, and each thread holds buffers
    // for one chunk.
    std::atomic<std::size_t> next{0};
    std::mutex lock;
    std::size_t done = 0;
    std::exception_ptr trouble;
    const auto work = [&] {
        try {
            bulk::Worker worker(
                *data_, input, kernel, run,
                {outcomes.data(), cases, run.statuses.empty() ? nullptr : run.statuses.data()});
            for (std::size_t begin = next.fetch_add(bulk::chunk_cases); begin < cases;
                 begin = next.fetch_add(bulk::chunk_cases)) {
                const std::size_t count = std::min(bulk::chunk_cases, cases - begin);
                worker.decide(begin, count);
                if (run.progress) {
                    const std::lock_guard guard(lock);
                    done += count;
                    run.progress(done);
                }
            }
            const std::lock_guard guard(lock);
            worker.add_to(report);
        } catch (...) {
            const std::lock_guard guard(lock);
            trouble = std::current_exception();
            next = cases;
        }
    };
    const std::size_t chunks = (cases + bulk::chunk_cases - 1) / bulk::chunk_cases;
    const std::size_t wanted = std::min<std::size_t>(run.threads, chunks);
    std::vector<std::thread> others;
    others.reserve(wanted);
    // Where the system gives no further thread, those that there are do the work.
    try {
        while (others.size() + 1 < wanted) {
            others.emplace_back(work);
        }
    } catch (const std::system_error&) {
    } catch (const std::bad_alloc&) {
    }
    work();
    for (std::thread& other : others) {
        other.join();
    }
    if (trouble) {
        std::rethrow_exception(trouble);
    }
    return report;
}

}  // namespace toprail
