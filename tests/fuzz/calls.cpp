// Sequences of calls to the C library, with right and wrong handles, sizes and texts. Whatever is
// called, each call gives back one of its statuses, and what it hands out can be read.
#include "fuzz/holding.hpp"
#include "toprail.h"

#include <fuzzer/FuzzedDataProvider.h>

#include <algorithm>
#include <array>
#include <cstring>
#include <memory>
#include <string>
#include <vector>

extern "C" {
#include "holds.h"
}

namespace {

using toprail::fuzz::hold;

class Caller {
  public:
    Caller(const std::uint8_t* data, std::size_t size) : input_(data, size) {}
    Caller(const Caller&) = delete;
    Caller& operator=(const Caller&) = delete;
    ~Caller() {
        for (void* const handle : handles_) {
            toprail_close(handle);
        }
    }

    void run() {
        handles_.push_back(small_shelf());
        constexpr int most_calls = 40;
        for (int i = 0; i < most_calls && input_.remaining_bytes() > 0; ++i) {
            call();
        }
    }

  private:
    void told(toprail_status status) {
        hold(status >= TOPRAIL_OK && status < TOPRAIL_NO_MEMORY, "no status but those expected");
        hold(status == TOPRAIL_OK || toprail_last_trouble().size > 0, "a failure is told");
    }

    void read(toprail_text text) {
        // Whatever comes out can be read from end to end.
        for (std::size_t i = 0; i < text.size; ++i) {
            sum_ += static_cast<unsigned char>(text.data[i]);
        }
    }
    void read(toprail_texts texts) {
        for (std::size_t i = 0; i < texts.count; ++i) {
            read(texts.items[i]);
        }
    }

    // A handle that was given out, closed perhaps, or none that ever was.
    template <typename Handle>
    Handle* handle() {
        const auto pick = input_.ConsumeIntegral<std::uint8_t>();
        if (pick == 255) {
            return nullptr;
        }
        if (pick == 254) {
            return reinterpret_cast<Handle*>(input_.ConsumeIntegral<std::uintptr_t>());
        }
        return static_cast<Handle*>(handles_[pick % handles_.size()]);
    }

    template <typename Handle>
    void keep(toprail_status status, Handle* made) {
        told(status);
        hold(status == TOPRAIL_OK || made == nullptr, "a failure makes nothing");
        if (made != nullptr) {
            handles_.push_back(made);
        }
    }
    void keep_findings(toprail_findings* made) {
        if (made != nullptr) {
            handles_.push_back(made);
        }
    }

    toprail_text text() {
        static constexpr std::array<const char*, 12> known{
            "mechanism", "boom",       "scissor",   "height",         "3 ft",    "20 ft",
            "tied-off",  "2024-06-01", "not known", "does not apply", "tie-off", "yard"};
        const auto pick = input_.ConsumeIntegral<std::uint8_t>();
        if (pick < 200) {
            return text_of(known[pick % known.size()]);
        }
        if (pick == 255) {
            return {nullptr, 0};
        }
        // Texts stay until the end of the sequence: the calls copy what they keep.
        texts_.push_back(std::make_unique<std::string>(input_.ConsumeRandomLengthString(64)));
        return {texts_.back()->data(), texts_.back()->size()};
    }

    std::vector<toprail_fact> facts() {
        std::vector<toprail_fact> all(input_.ConsumeIntegralInRange<std::size_t>(0, 4));
        for (toprail_fact& each : all) {
            each = {text(), text(), text()};
        }
        return all;
    }

    template <typename Struct>
    Struct sized() {
        Struct made;
        std::memset(&made, 0, sizeof made);
        made.size = input_.ConsumeBool()
                        ? sizeof made
                        : input_.ConsumeIntegralInRange<std::size_t>(0, sizeof made);
        return made;
    }

    void call() {
        switch (input_.ConsumeIntegralInRange<int>(0, 13)) {
        case 0: {
            const toprail_source sources[] = {{text_of("small.yaml"), text_of(small_vocabulary)},
                                              {text(), text()}};
            auto how = sized<toprail_load_options>();
            how.most_nodes = input_.ConsumeIntegral<std::uint8_t>();
            toprail_shelf* made = nullptr;
            toprail_findings* findings = nullptr;
            const auto status = toprail_shelf_from_texts(
                sources, input_.ConsumeIntegralInRange<std::size_t>(0, 2), &how, &made, &findings);
            keep(status, made);
            keep_findings(findings);
            return;
        }
        case 1: {
            const auto entries = facts();
            toprail_facts* made = nullptr;
            keep(toprail_facts_new(entries.data(), entries.size(), &made), made);
            return;
        }
        case 2: {
            const auto entries = facts();
            told(toprail_facts_set(handle<toprail_facts>(), entries.data(), entries.size()));
            return;
        }
        case 3:
            told(toprail_facts_remove(handle<toprail_facts>(), text()));
            return;
        case 4: {
            const toprail_text authority = text();
            auto how = sized<toprail_decide_options>();
            how.authorities = {&authority, input_.ConsumeIntegralInRange<std::size_t>(0, 1)};
            how.budget = input_.ConsumeIntegralInRange<std::uint64_t>(0, 2000);
            toprail_decision* made = nullptr;
            toprail_findings* findings = nullptr;
            const auto status =
                toprail_decide(handle<toprail_shelf>(), handle<toprail_facts>(), text(),
                               input_.ConsumeBool() ? &how : nullptr, &made, &findings);
            keep(status, made);
            keep_findings(findings);
            return;
        }
        case 5:
            told(toprail_close(handle<void>()));
            return;
        case 6: {
            toprail_buffer* made = nullptr;
            keep(toprail_buffer_new(&made), made);
            return;
        }
        case 7:
            told(toprail_decision_json(handle<toprail_decision>(), text(),
                                       handle<toprail_buffer>()));
            return;
        case 8:
            told(toprail_decision_text(handle<toprail_decision>(), text(),
                                       input_.ConsumeIntegralInRange<toprail_length>(-1, 3),
                                       handle<toprail_buffer>()));
            return;
        case 9: {
            auto* const findings = handle<toprail_findings>();
            told(toprail_findings_json(findings, handle<toprail_buffer>()));
            auto one = sized<toprail_finding>();
            const auto status =
                toprail_finding_at(findings, input_.ConsumeIntegral<std::uint8_t>(), &one);
            told(status);
            if (status == TOPRAIL_OK && one.size == sizeof one) {
                read(one.message);
                read(one.source_line);
            }
            return;
        }
        case 10: {
            auto* const buffer = handle<toprail_buffer>();
            toprail_text seen = {nullptr, 0};
            const auto status = toprail_buffer_text(buffer, &seen);
            told(status);
            if (status == TOPRAIL_OK) {
                read(seen);
            }
            if (input_.ConsumeBool()) {
                told(toprail_buffer_clear(buffer));
            }
            return;
        }
        case 11:
            read_decision(handle<toprail_decision>());
            return;
        case 12: {
            toprail_receipt_maker* made = nullptr;
            keep(toprail_receipt_maker_new(handle<toprail_shelf>(), &made), made);
            return;
        }
        default: {
            const std::array<std::uint8_t, 32> seed{};
            auto how = sized<toprail_receipt_options>();
            how.seed = input_.ConsumeBool() ? seed.data() : nullptr;
            toprail_decision* made = nullptr;
            toprail_findings* findings = nullptr;
            const auto status = toprail_receipt_make(
                handle<toprail_receipt_maker>(), handle<toprail_facts>(), text(), nullptr, text(),
                &how, handle<toprail_buffer>(), &made, &findings);
            keep(status, made);
            keep_findings(findings);
        }
        }
    }

    void read_decision(const toprail_decision* decision) {
        const auto number = input_.ConsumeIntegralInRange<std::size_t>(0, 5);
        auto duty = sized<toprail_duty>();
        auto status = toprail_duty_at(decision, number, &duty);
        told(status);
        if (status == TOPRAIL_OK && duty.size == sizeof duty) {
            read(duty.duty);
            read(duty.settled_by);
            read(duty.provisions);
        }
        auto choice = sized<toprail_choice>();
        status = toprail_choice_at(decision, number, &choice);
        told(status);
        if (status == TOPRAIL_OK && choice.size == sizeof choice) {
            read(choice.admissible);
            read(choice.barred);
        }
        auto limit = sized<toprail_limit>();
        status = toprail_limit_at(decision, number, &limit);
        told(status);
        if (status == TOPRAIL_OK && limit.size == sizeof limit) {
            for (std::size_t i = 0; i < limit.bound_count; ++i) {
                read(limit.bounds[i].text);
            }
        }
        auto step = sized<toprail_step>();
        status = toprail_step_at(decision, number, &step);
        told(status);
        if (status == TOPRAIL_OK && step.size == sizeof step) {
            read(step.gist);
            read(step.because);
        }
        toprail_text caution = {nullptr, 0};
        told(toprail_caution_at(decision, number, &caution));
        auto sizes = sized<toprail_decision_sizes>();
        told(toprail_decision_count(decision, &sizes));
    }

    FuzzedDataProvider input_;
    std::vector<void*> handles_;
    std::vector<std::unique_ptr<std::string>> texts_;
    unsigned sum_ = 0;
};

}  // namespace

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    Caller(data, size).run();
    return 0;
}
