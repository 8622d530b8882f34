// Plans: very many cases in columns of typed arrays, which are read where they lie.
#include "work.hpp"

#include <cstdint>
#include <utility>

namespace toprail::node {
namespace {

class DecideColumns : public Work {
  public:
    DecideColumns(toprail_plan* plan, std::size_t cases, toprail_bulk_options how)
        : plan_(plan),
          cases_(cases),
          how_(how) {}

    /// [fact, kind, values, unit, texts]; `values` is a typed array, or a list of texts.
    void add(const Napi::Array& column) {
        Column& to = columns_.emplace_back();
        to.fact = column.Get(0U).As<Napi::String>();
        to.kind = column.Get(1U).As<Napi::Number>().Int32Value();
        const Napi::Value values = column.Get(2U);
        if (values.IsTypedArray()) {
            const auto array = values.As<Napi::TypedArray>();
            to.lies_at = static_cast<const char*>(array.ArrayBuffer().Data()) + array.ByteOffset();
            keep(array);
        } else {
            to.own = strings(values);
        }
        to.unit = column.Get(3U).As<Napi::String>();
        to.texts = strings(column.Get(4U));
    }

    void write_to(Napi::ArrayBuffer outcomes) {
        outcomes_ = static_cast<std::uint8_t*>(outcomes.Data());
        bytes_ = outcomes.ByteLength();
        keep(outcomes);
    }

    void run() override {
        // In two passes: the second points into what the first has put in its place for good.
        std::vector<std::vector<toprail_text>> own;
        for (const Column& each : columns_) {
            own.push_back(texts(each.own));
            own.push_back(texts(each.texts));
        }
        std::vector<toprail_column> columns;
        for (std::size_t i = 0; i < columns_.size(); ++i) {
            const Column& each = columns_[i];
            const void* const values = each.lies_at != nullptr ? each.lies_at : own[2 * i].data();
            columns.push_back({text(each.fact),
                               values,
                               text(each.unit),
                               {own[2 * i + 1].data(), own[2 * i + 1].size()},
                               each.kind});
        }
        const toprail_status status = toprail_plan_decide(
            plan_, columns.data(), columns.size(), cases_, &how_, outcomes_, bytes_, &report_);
        if (status != TOPRAIL_OK) {
            trouble_ = trouble_of(status, nullptr);
        }
    }

    Napi::Value result(Napi::Env env) override {
        if (trouble_) {
            return told(env, *trouble_);
        }
        Napi::Object object = Napi::Object::New(env);
        const auto count = [&](const char* name, std::uint64_t number) {
            object.Set(name, Napi::Number::New(env, static_cast<double>(number)));
        };
        count("searched", report_.searched);
        count("withoutValues", report_.without_values);
        count("noAnswer", report_.no_answer);
        return object;
    }

  private:
    struct Column {
        std::string fact;
        toprail_column_kind kind = TOPRAIL_CLASSES;
        const void* lies_at = nullptr;
        std::vector<std::string> own;
        std::string unit;
        std::vector<std::string> texts;
    };

    toprail_plan* plan_;
    std::size_t cases_;
    toprail_bulk_options how_;
    std::vector<Column> columns_;
    std::uint8_t* outcomes_ = nullptr;
    std::size_t bytes_ = 0;
    toprail_bulk_report report_{sizeof(toprail_bulk_report), 0, 0, 0};
    std::optional<Trouble> trouble_;
};

Napi::Value describe(Napi::Env env, const toprail_plan* plan) {
    toprail_plan_sizes sizes = {sizeof sizes, 0, 0};
    const toprail_status status = toprail_plan_count(plan, &sizes);
    if (status != TOPRAIL_OK) {
        return told(env, trouble_of(status, nullptr));
    }
    Napi::Array facts = Napi::Array::New(env);
    for (std::size_t i = 0; i < sizes.facts; ++i) {
        toprail_plan_fact fact{};
        fact.size = sizeof fact;
        toprail_plan_fact_at(plan, i, &fact);
        Napi::Object one = Napi::Object::New(env);
        one.Set("fact", string_of(fact.fact));
        one.Set("used", Napi::Boolean::New(env, fact.used != 0));
        one.Set("needsValues", Napi::Boolean::New(env, fact.needs_values != 0));
        one.Set("classes", Napi::Number::New(env, static_cast<double>(fact.classes)));
        facts.Set(static_cast<std::uint32_t>(i), one);
    }
    Napi::Array duties = Napi::Array::New(env);
    for (std::size_t i = 0; i < sizes.duties; ++i) {
        toprail_text duty{};
        toprail_plan_duty_at(plan, i, &duty);
        duties.Set(static_cast<std::uint32_t>(i), string_of(duty));
    }
    Napi::Object all = Napi::Object::New(env);
    all.Set("facts", facts);
    all.Set("duties", duties);
    return all;
}

// describe(plan), classOf(plan, fact, value), decide(plan, columns, cases, outcomes, threads,
// quick, budget), close(plan): a plan is an External that owns its handle.
toprail_plan* plan_of(const Napi::CallbackInfo& info) {
    return info[0].As<Napi::External<Owned<toprail_plan>>>().Data()->get();
}

Napi::Value describe_plan(const Napi::CallbackInfo& info) {
    return describe(info.Env(), plan_of(info));
}

Napi::Value class_of(const Napi::CallbackInfo& info) {
    const std::string fact = info[1].As<Napi::String>();
    const std::string value = info[2].As<Napi::String>();
    std::uint8_t byte = 0;
    const toprail_status status =
        toprail_plan_class_of(plan_of(info), text(fact), text(value), &byte);
    if (status != TOPRAIL_OK) {
        return told(info.Env(), trouble_of(status, nullptr));
    }
    return Napi::Number::New(info.Env(), byte);
}

Napi::Value decide(const Napi::CallbackInfo& info) {
    toprail_bulk_options how{};
    how.size = sizeof how;
    how.threads = info[4].As<Napi::Number>().Uint32Value();
    how.quick = info[5].As<Napi::Boolean>() ? 1 : 0;
    how.budget = static_cast<std::uint64_t>(info[6].As<Napi::Number>().Int64Value());
    const auto cases = static_cast<std::size_t>(info[2].As<Napi::Number>().Int64Value());
    auto work = std::make_unique<DecideColumns>(plan_of(info), cases, how);
    const auto columns = info[1].As<Napi::Array>();
    for (std::uint32_t i = 0; i < columns.Length(); ++i) {
        work->add(columns.Get(i).As<Napi::Array>());
    }
    work->write_to(info[3].As<Napi::ArrayBuffer>());
    // An External is no object that a Work could keep: index.js keeps the plan until it is done.
    return perform(info.Env(), std::move(work), true);
}

Napi::Value close(const Napi::CallbackInfo& info) {
    info[0].As<Napi::External<Owned<toprail_plan>>>().Data()->close();
    return info.Env().Undefined();
}

}  // namespace

Napi::Value plan_object(Napi::Env env, Owned<toprail_plan> plan) {
    return Napi::External<Owned<toprail_plan>>::New(
        env, new Owned<toprail_plan>(std::move(plan)),
        [](Napi::Env /*env*/, Owned<toprail_plan>* owned) { delete owned; });
}

void add_plan(Napi::Env env, Napi::Object exports) {
    exports.Set("describePlan", Napi::Function::New(env, &describe_plan));
    exports.Set("classOf", Napi::Function::New(env, &class_of));
    exports.Set("decideColumns", Napi::Function::New(env, &decide));
    exports.Set("closePlan", Napi::Function::New(env, &close));
}

}  // namespace toprail::node
