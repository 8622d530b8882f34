// Entry points: plans. Made without the bulk component they say so.
#include "deciding.hpp"

#ifdef TOPRAIL_WITH_BULK
#include <toprail/bulk.hpp>

#include <limits>
#endif

using namespace toprail::c;

#ifdef TOPRAIL_WITH_BULK

namespace {

struct HeldPlan : Held {
    explicit HeldPlan(toprail::BulkPlan held) : plan(std::move(held)) {}
    const toprail::BulkPlan plan;
};

constexpr unsigned most_threads = 256;

static_assert(toprail::bulk_not_known == TOPRAIL_CLASS_NOT_KNOWN);
static_assert(toprail::bulk_does_not_apply == TOPRAIL_CLASS_DOES_NOT_APPLY);
static_assert(toprail::bulk_no_answer == TOPRAIL_NO_ANSWER);
static_assert(toprail::NumberColumn::not_known == TOPRAIL_NUMBER_NOT_KNOWN);
static_assert(toprail::NumberColumn::does_not_apply == TOPRAIL_NUMBER_DOES_NOT_APPLY);

std::size_t fact_named(const toprail::BulkPlan& plan, toprail_text name) {
    const auto found = plan.fact(view(name));
    if (!found) {
        refuse(TOPRAIL_NO_SUCH, "the vocabulary has no fact of that name");
    }
    return *found;
}

template <class Value>
std::span<const Value> values(const toprail_column& column, std::size_t cases) {
    if (reinterpret_cast<std::uintptr_t>(column.values) % alignof(Value) != 0) {
        refuse(TOPRAIL_BAD_ARGUMENT, "the values of a column are not aligned");
    }
    return {static_cast<const Value*>(column.values), cases};
}

// Columns as the library takes them. `kept` holds what has no place in the caller's memory.
class Columns {
  public:
    Columns(const toprail::BulkPlan& plan, const toprail_column* columns, std::size_t count,
            std::size_t cases)
        : all(plan.facts().size()) {
        hold_to_list(columns, count);
        for (std::size_t i = 0; i < count; ++i) {
            toprail::BulkColumn& to = all[fact_named(plan, columns[i].fact)];
            if (!std::holds_alternative<std::monostate>(to)) {
                refuse(TOPRAIL_BAD_ARGUMENT, "two columns are of the same fact");
            }
            if (columns[i].values == nullptr && cases != 0) {
                refuse(TOPRAIL_BAD_ARGUMENT, "the values of a column are null");
            }
            to = read(columns[i], cases);
        }
    }

    std::vector<toprail::BulkColumn> all;

  private:
    toprail::BulkColumn read(const toprail_column& column, std::size_t cases) {
        switch (column.kind) {
        case TOPRAIL_CLASSES:
            return values<std::uint8_t>(column, cases);
        case TOPRAIL_NUMBERS:
            return toprail::NumberColumn{values<std::int64_t>(column, cases),
                                         std::string(view(column.unit))};
        case TOPRAIL_REALS:
            return toprail::RealColumn{values<double>(column, cases),
                                       std::string(view(column.unit))};
        case TOPRAIL_CODES: {
            hold_to_list(column.texts.items, column.texts.count);
            toprail::CodedColumn coded{values<std::int8_t>(column, cases), {}};
            for (std::size_t i = 0; i < column.texts.count; ++i) {
                coded.texts.push_back(view(column.texts.items[i]));
            }
            return coded;
        }
        case TOPRAIL_VALUES: {
            auto& texts = kept_.emplace_back();
            texts.reserve(cases);
            for (const toprail_text& each : values<toprail_text>(column, cases)) {
                texts.push_back(view(each));
            }
            return toprail::TextColumn(texts);
        }
        default:
            refuse(TOPRAIL_BAD_ARGUMENT, "there is no such kind of column");
        }
    }

    std::vector<std::vector<std::string_view>> kept_;
};

toprail::BulkRun bulk_run(const toprail_bulk_options* from) {
    const toprail_bulk_options given = options(from);
    toprail::BulkRun run;
    run.search = given.quick == 0;
    run.threads = std::clamp(given.threads, 1U, most_threads);
    if (given.budget != 0) {
        run.budget = given.budget;
    }
    return run;
}

}  // namespace

#else

static toprail_status no_plans() {
    return entry([]() -> toprail_status {
        refuse(TOPRAIL_NOT_BUILT, "this library was made without plans");
    });
}

#endif

extern "C" {

toprail_status toprail_plan_new([[maybe_unused]] const toprail_shelf* shelf,
                                [[maybe_unused]] toprail_text day,
                                [[maybe_unused]] const toprail_plan_options* how,
                                toprail_plan** plan, toprail_findings** findings) {
    return entry([&] {
        if (findings != nullptr) {
            *findings = nullptr;
        }
        place(plan) = nullptr;
#ifdef TOPRAIL_WITH_BULK
        const auto with = held<HeldShelf>(shelf);
        const toprail_plan_options given = options(how);
        toprail::PlannedBulk planned =
            toprail::plan_bulk(with->shelf, read_day(day),
                               {strings(given.authorities.items, given.authorities.count),
                                strings(given.duties.items, given.duties.count)});
        Kept<toprail_findings> told = keep_findings(std::move(planned.findings), findings);
        if (!planned.plan) {
            hand_out(told, findings);
            refuse(TOPRAIL_FINDINGS, "no plan can be made; the findings say why");
        }
        *plan = Kept<toprail_plan>(std::make_shared<HeldPlan>(*std::move(planned.plan))).release();
        hand_out(told, findings);
        return TOPRAIL_OK;
#else
        return no_plans();
#endif
    });
}

#ifdef TOPRAIL_WITH_BULK

toprail_status toprail_plan_count(const toprail_plan* plan, toprail_plan_sizes* sizes) {
    return entry([&] {
        const auto from = held<HeldPlan>(plan);
        fill(sizes,
             {sizeof(toprail_plan_sizes), from->plan.facts().size(), from->plan.duties().size()});
        return TOPRAIL_OK;
    });
}

toprail_status toprail_plan_fact_at(const toprail_plan* plan, size_t number,
                                    toprail_plan_fact* fact) {
    return entry([&] {
        const auto from = held<HeldPlan>(plan);
        const toprail::BulkFact& each = numbered(from->plan.facts(), number);
        fill(fact, {sizeof(toprail_plan_fact), text(each.name), each.classes, each.used,
                    each.needs_values});
        return TOPRAIL_OK;
    });
}

toprail_status toprail_plan_duty_at(const toprail_plan* plan, size_t number, toprail_text* duty) {
    return entry([&] {
        const auto from = held<HeldPlan>(plan);
        place(duty) = text(numbered(from->plan.duties(), number));
        return TOPRAIL_OK;
    });
}

toprail_status toprail_plan_class_of(const toprail_plan* plan, toprail_text fact,
                                     toprail_text value, uint8_t* class_byte) {
    return entry([&] {
        const auto from = held<HeldPlan>(plan);
        const auto found = from->plan.class_of(fact_named(from->plan, fact), view(value));
        if (!found) {
            refuse(TOPRAIL_BAD_ARGUMENT, "the fact does not take that value");
        }
        place(class_byte) = *found;
        return TOPRAIL_OK;
    });
}

toprail_status toprail_plan_decide(const toprail_plan* plan, const toprail_column* columns,
                                   size_t count, size_t cases, const toprail_bulk_options* how,
                                   uint8_t* outcomes, size_t outcome_bytes,
                                   toprail_bulk_report* report) {
    return entry([&]() -> toprail_status {
        const auto with = held<HeldPlan>(plan);
        hold_to_list(outcomes, outcome_bytes);
        const std::size_t duties = with->plan.duties().size();
        // What no memory holds; it also keeps the product below from wrapping round.
        if (cases >
            std::numeric_limits<std::size_t>::max() / 16 / std::max<std::size_t>(duties, 1)) {
            refuse(TOPRAIL_BAD_ARGUMENT, "there are more cases than memory can hold");
        }
        const toprail::BulkRun run = bulk_run(how);
        toprail::BulkReport done;
        // Filled once beforehand, so that a struct of the wrong size is told before the work.
        if (report != nullptr) {
            fill(report, {});
        }
        try {
            const Columns read(with->plan, columns, count, cases);
            done = with->plan.decide(read.all, cases, {outcomes, outcome_bytes}, run);
        } catch (const std::invalid_argument& wrong) {
            note_trouble(wrong.what());
            return TOPRAIL_BAD_ARGUMENT;
        }
        if (report != nullptr) {
            fill(report,
                 {sizeof(toprail_bulk_report), done.searched, done.without_values, done.no_answer});
        }
        return TOPRAIL_OK;
    });
}

#else

// None of these can be handed a plan, for there is none.

toprail_status toprail_plan_count(const toprail_plan*, toprail_plan_sizes*) {
    return no_plans();
}

toprail_status toprail_plan_fact_at(const toprail_plan*, size_t, toprail_plan_fact*) {
    return no_plans();
}

toprail_status toprail_plan_duty_at(const toprail_plan*, size_t, toprail_text*) {
    return no_plans();
}

toprail_status toprail_plan_class_of(const toprail_plan*, toprail_text, toprail_text, uint8_t*) {
    return no_plans();
}

toprail_status toprail_plan_decide(const toprail_plan*, const toprail_column*, size_t, size_t,
                                   const toprail_bulk_options*, uint8_t*, size_t,
                                   toprail_bulk_report*) {
    return no_plans();
}

#endif
}
