// The addon: shelves, and deciding single cases with them. index.js is what callers see; it has
// looked at every argument before it comes here.
#include "work.hpp"

#include <utility>

namespace toprail::node {
namespace {

class Shelf : public Napi::ObjectWrap<Shelf> {
  public:
    static Napi::Function define(Napi::Env env) {
        return DefineClass(env, "Shelf",
                           {InstanceMethod<&Shelf::decide>("decide"),
                            InstanceMethod<&Shelf::plan>("plan"),
                            InstanceMethod<&Shelf::close>("close")});
    }

    explicit Shelf(const Napi::CallbackInfo& info) : Napi::ObjectWrap<Shelf>(info) {
        if (info.Length() == 1 && info[0].IsExternal()) {
            auto* const made = info[0].As<Napi::External<Owned<toprail_shelf>>>().Data();
            shelf_ = std::move(*made);
        }
    }

  private:
    Napi::Value decide(const Napi::CallbackInfo& info);
    Napi::Value plan(const Napi::CallbackInfo& info);
    Napi::Value close(const Napi::CallbackInfo& info) {
        maker_.close();
        shelf_.close();
        return info.Env().Undefined();
    }

    Owned<toprail_shelf> shelf_;
    Owned<toprail_receipt_maker> maker_;
};

// Per environment: each worker thread of Node has its own.
struct Addon {
    Napi::FunctionReference shelf;
};

class Load : public Work {
  public:
    /// Folders; or names and texts in turn.
    Load(std::vector<std::string> from, bool are_texts)
        : from_(std::move(from)),
          are_texts_(are_texts) {}

    void run() override {
        Owned<toprail_findings> findings;
        toprail_status status = TOPRAIL_OK;
        if (are_texts_) {
            std::vector<toprail_source> sources;
            for (std::size_t i = 0; i + 1 < from_.size(); i += 2) {
                sources.push_back({text(from_[i]), text(from_[i + 1])});
            }
            status = toprail_shelf_from_texts(sources.data(), sources.size(), nullptr,
                                              shelf_.place(), findings.place());
        } else {
            const auto folders = texts(from_);
            status = toprail_shelf_from_folders(folders.data(), folders.size(), nullptr,
                                                shelf_.place(), findings.place());
        }
        if (status != TOPRAIL_OK) {
            trouble_ = trouble_of(status, findings.get());
        }
    }

    Napi::Value result(Napi::Env env) override {
        if (trouble_) {
            return told(env, *trouble_);
        }
        return env.GetInstanceData<Addon>()->shelf.New(
            {Napi::External<Owned<toprail_shelf>>::New(env, &shelf_)});
    }

  private:
    std::vector<std::string> from_;
    bool are_texts_;
    Owned<toprail_shelf> shelf_;
    std::optional<Trouble> trouble_;
};

struct Case {
    std::vector<std::string> facts;  // name, value and source in turn
    std::string name;
};

enum class Wanted { json, sheet, receipt };

/// Cases one after the other; one that cannot be used does not hold up the others.
class Decide : public Work {
  public:
    Decide(toprail_shelf* shelf, toprail_receipt_maker* maker) : shelf_(shelf), maker_(maker) {}

    std::vector<Case> cases;
    std::string day;
    std::vector<std::string> authorities;
    std::uint64_t budget = 0;
    Wanted wanted = Wanted::json;
    toprail_length length = TOPRAIL_REASONS;
    std::string seed;  // 32 bytes, or empty

    void run() override {
        const auto named = texts(authorities);
        how_ = {sizeof how_, {named.data(), named.size()}, budget};
        answers_.reserve(cases.size());
        for (const Case& each : cases) {
            answers_.push_back(answer(each));
        }
    }

    Napi::Value result(Napi::Env env) override {
        Napi::Array list = Napi::Array::New(env, answers_.size());
        for (std::uint32_t i = 0; i < answers_.size(); ++i) {
            const Answer& each = answers_[i];
            if (each.trouble) {
                list.Set(i, told(env, *each.trouble));
            } else if (wanted == Wanted::receipt) {
                list.Set(i, Napi::Buffer<char>::Copy(env, each.text.data(), each.text.size()));
            } else {
                list.Set(i, Napi::String::New(env, each.text));
            }
        }
        return list;
    }

  private:
    struct Answer {
        std::string text;
        std::optional<Trouble> trouble;
    };

    Answer answer(const Case& one) {
        Owned<toprail_facts> facts;
        Owned<toprail_buffer> buffer;
        Owned<toprail_findings> findings;
        std::vector<toprail_fact> entries;
        for (std::size_t i = 0; i + 2 < one.facts.size(); i += 3) {
            entries.push_back({text(one.facts[i]), text(one.facts[i + 1]), text(one.facts[i + 2])});
        }
        toprail_status status = toprail_facts_new(entries.data(), entries.size(), facts.place());
        if (status == TOPRAIL_OK) {
            status = toprail_buffer_new(buffer.place());
        }
        if (status == TOPRAIL_OK) {
            status = write(one, facts.get(), buffer.get(), findings);
        }
        toprail_text written{};
        if (status == TOPRAIL_OK) {
            status = toprail_buffer_text(buffer.get(), &written);
        }
        if (status != TOPRAIL_OK) {
            return {{}, trouble_of(status, findings.get())};
        }
        return {string_of(written), {}};
    }

    toprail_status write(const Case& one, const toprail_facts* facts, toprail_buffer* buffer,
                         Owned<toprail_findings>& findings) {
        if (wanted == Wanted::receipt) {
            const toprail_receipt_options options = {
                sizeof options,
                seed.empty() ? nullptr : reinterpret_cast<const std::uint8_t*>(seed.data())};
            return toprail_receipt_make(maker_, facts, text(day), &how_, text(one.name), &options,
                                        buffer, nullptr, findings.place());
        }
        Owned<toprail_decision> decision;
        const toprail_status status =
            toprail_decide(shelf_, facts, text(day), &how_, decision.place(), findings.place());
        if (status != TOPRAIL_OK) {
            return status;
        }
        return wanted == Wanted::json
                   ? toprail_decision_json(decision.get(), text(one.name), buffer)
                   : toprail_decision_text(decision.get(), text(one.name), length, buffer);
    }

    // Closed meanwhile: each call refuses the handle.
    toprail_shelf* shelf_;
    toprail_receipt_maker* maker_;
    toprail_decide_options how_{};
    std::vector<Answer> answers_;
};

// decide(later, wanted, cases, day, authorities, budget, length, seed)
Napi::Value Shelf::decide(const Napi::CallbackInfo& info) {
    const std::string wanted = info[1].As<Napi::String>();
    if (wanted == "receipt" && maker_.get() == nullptr && shelf_.get() != nullptr) {
        const toprail_status status = toprail_receipt_maker_new(shelf_.get(), maker_.place());
        if (status != TOPRAIL_OK) {
            return told(info.Env(), trouble_of(status, nullptr));
        }
    }
    auto work = std::make_unique<Decide>(shelf_.get(), maker_.get());
    const auto cases = info[2].As<Napi::Array>();
    for (std::uint32_t i = 0; i + 1 < cases.Length(); i += 2) {
        work->cases.push_back(
            {strings(cases.Get(i)), cases.Get(i + 1).As<Napi::String>().Utf8Value()});
    }
    work->wanted = wanted == "receipt" ? Wanted::receipt
                   : wanted == "json"  ? Wanted::json
                                       : Wanted::sheet;
    work->day = info[3].As<Napi::String>();
    work->authorities = strings(info[4]);
    work->budget = static_cast<std::uint64_t>(info[5].As<Napi::Number>().Int64Value());
    work->length = info[6].As<Napi::Number>().Int32Value();
    if (info[7].IsBuffer()) {
        const auto seed = info[7].As<Napi::Buffer<char>>();
        work->seed.assign(seed.Data(), seed.Length());
    }
    work->keep(Value());
    return perform(info.Env(), std::move(work), info[0].As<Napi::Boolean>());
}

class MakePlan : public Work {
  public:
    MakePlan(toprail_shelf* shelf, std::string day, std::vector<std::string> authorities,
             std::vector<std::string> duties)
        : shelf_(shelf),
          day_(std::move(day)),
          authorities_(std::move(authorities)),
          duties_(std::move(duties)) {}

    void run() override {
        const auto named = texts(authorities_);
        const auto wanted = texts(duties_);
        const toprail_plan_options how = {
            sizeof how, {named.data(), named.size()}, {wanted.data(), wanted.size()}};
        Owned<toprail_findings> findings;
        const toprail_status status =
            toprail_plan_new(shelf_, text(day_), &how, plan_.place(), findings.place());
        if (status != TOPRAIL_OK) {
            trouble_ = trouble_of(status, findings.get());
        }
    }

    Napi::Value result(Napi::Env env) override {
        return trouble_ ? told(env, *trouble_) : plan_object(env, std::move(plan_));
    }

  private:
    toprail_shelf* shelf_;
    std::string day_;
    std::vector<std::string> authorities_;
    std::vector<std::string> duties_;
    Owned<toprail_plan> plan_;
    std::optional<Trouble> trouble_;
};

// plan(day, authorities, duties)
Napi::Value Shelf::plan(const Napi::CallbackInfo& info) {
    auto work = std::make_unique<MakePlan>(shelf_.get(), info[0].As<Napi::String>().Utf8Value(),
                                           strings(info[1]), strings(info[2]));
    work->keep(Value());
    return perform(info.Env(), std::move(work), true);
}

// load(later, from, are_texts)
Napi::Value load(const Napi::CallbackInfo& info) {
    return perform(info.Env(),
                   std::make_unique<Load>(strings(info[1]), info[2].As<Napi::Boolean>()),
                   info[0].As<Napi::Boolean>());
}

Napi::Object start(Napi::Env env, Napi::Object exports) {
    auto* const addon = new Addon;  // deleted with the environment
    env.SetInstanceData(addon);
    addon->shelf = Napi::Persistent(Shelf::define(env));
    exports.Set("load", Napi::Function::New(env, &load));
    add_plan(env, exports);
    exports.Set("version", string_of(toprail_version()));
    exports.Set("hasReceipts", Napi::Boolean::New(env, toprail_has_receipts() != 0));
    exports.Set("hasPlans", Napi::Boolean::New(env, toprail_has_plans() != 0));
    return exports;
}

}  // namespace
}  // namespace toprail::node

using toprail::node::start;

NODE_API_MODULE(toprail, start)
