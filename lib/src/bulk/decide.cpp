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

const Kernel& kernel_named(std::string_view name) {
    static const std::vector<const Kernel*> all = kernels();
    for (const Kernel* kernel : all) {
        if (name == kernel->name) {
            return *kernel;
        }
    }
    return *all.front();
}

void check_sizes(const BulkPlan::Data& plan, const std::vector<BulkColumn>& columns,
                 std::size_t cases, std::size_t outcomes) {
    if (columns.size() != plan.facts.size()) {
        throw std::invalid_argument("a column for every fact of the plan is needed");
    }
    if (outcomes != plan.duties.size() * cases) {
        throw std::invalid_argument("outcomes take one byte per duty and case");
    }
    for (const BulkColumn& column : columns) {
        const auto* bytes = std::get_if<ClassColumn>(&column);
        const auto* numbers = std::get_if<NumberColumn>(&column);
        const auto* texts = std::get_if<TextColumn>(&column);
        if ((bytes != nullptr && bytes->size() != cases) ||
            (numbers != nullptr && numbers->values.size() != cases) ||
            (texts != nullptr && texts->size() != cases)) {
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

BulkReport BulkPlan::decide(const std::vector<BulkColumn>& columns, std::size_t cases,
                            std::span<std::uint8_t> outcomes, const BulkRun& run) const {
    bulk::check_sizes(*data_, columns, cases, outcomes.size());
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
            bulk::Worker worker(*data_, input, kernel, run, {outcomes.data(), cases});
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
