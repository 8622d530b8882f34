#include "work.hpp"

#include <utility>

namespace toprail::node {
namespace {

class Later : public Napi::AsyncWorker {
  public:
    Later(Napi::Env env, std::unique_ptr<Work> work)
        : Napi::AsyncWorker(env),
          promise_(Napi::Promise::Deferred::New(env)),
          work_(std::move(work)) {}

    [[nodiscard]] Napi::Promise promise() const { return promise_.Promise(); }

  protected:
    void Execute() override { work_->run(); }
    void OnOK() override { promise_.Resolve(work_->result(Env())); }
    // The library throws nothing; what is left is want of memory in these files.
    void OnError(const Napi::Error& error) override { promise_.Reject(error.Value()); }

  private:
    Napi::Promise::Deferred promise_;
    std::unique_ptr<Work> work_;
};

}  // namespace

Trouble trouble_of(toprail_status status, toprail_findings* findings) {
    Trouble trouble{string_of(toprail_status_word(status)), string_of(toprail_last_trouble()), {}};
    Owned<toprail_buffer> buffer;
    toprail_text json{};
    if (findings != nullptr && toprail_buffer_new(buffer.place()) == TOPRAIL_OK &&
        toprail_findings_json(findings, buffer.get()) == TOPRAIL_OK &&
        toprail_buffer_text(buffer.get(), &json) == TOPRAIL_OK) {
        trouble.findings = string_of(json);
    }
    return trouble;
}

Napi::Value told(Napi::Env env, const Trouble& trouble) {
    Napi::Object object = Napi::Object::New(env);
    object.Set("status", trouble.status);
    object.Set("says", trouble.says);
    object.Set("findings", trouble.findings);
    return object;
}

Napi::Value perform(Napi::Env env, std::unique_ptr<Work> work, bool later) {
    if (!later) {
        work->run();
        return work->result(env);
    }
    auto* const worker = new Later(env, std::move(work));  // deletes itself when it is done
    const Napi::Promise promise = worker->promise();
    worker->Queue();
    return promise;
}

std::vector<std::string> strings(const Napi::Value& list) {
    const auto array = list.As<Napi::Array>();
    std::vector<std::string> all;
    all.reserve(array.Length());
    for (std::uint32_t i = 0; i < array.Length(); ++i) {
        all.push_back(array.Get(i).As<Napi::String>().Utf8Value());
    }
    return all;
}

std::vector<toprail_text> texts(const std::vector<std::string>& from) {
    std::vector<toprail_text> all;
    all.reserve(from.size());
    for (const std::string& each : from) {
        all.push_back(text(each));
    }
    return all;
}

}  // namespace toprail::node
