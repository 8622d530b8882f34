// Work that is done at once, or on a thread of Node's pool with a promise for what comes of it.
#pragma once

#include "toprail.h"

#include <napi.h>

#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace toprail::node {

/// A handle that is closed when nobody holds it any more. Move-only.
template <class Handle>
class Owned {
  public:
    Owned() = default;
    explicit Owned(Handle* handle) : handle_(handle) {}
    Owned(Owned&& other) noexcept : handle_(std::exchange(other.handle_, nullptr)) {}
    Owned& operator=(Owned&& other) noexcept {
        std::swap(handle_, other.handle_);
        return *this;
    }
    ~Owned() { toprail_close(handle_); }

    [[nodiscard]] Handle* get() const { return handle_; }
    Handle** place() { return &handle_; }
    void close() { toprail_close(std::exchange(handle_, nullptr)); }

  private:
    Handle* handle_ = nullptr;
};

/// What was wrong with a call: the word of its status, what the library said of it, and the
/// findings as JSON where there are any.
struct Trouble {
    std::string status;
    std::string says;
    std::string findings;
};

/// Precondition: called in the thread of the call that failed.
Trouble trouble_of(toprail_status status, toprail_findings* findings);

/// {status, says, findings}: index.js makes an Error of it.
Napi::Value told(Napi::Env env, const Trouble& trouble);

class Work {
  public:
    Work() = default;
    Work(const Work&) = delete;
    Work& operator=(const Work&) = delete;
    virtual ~Work() = default;

    /// Touches no JavaScript.
    virtual void run() = 0;
    /// Called in the thread of JavaScript.
    virtual Napi::Value result(Napi::Env env) = 0;

    /// Keeps an object alive until the work is done and told.
    void keep(const Napi::Object& object) { kept_.push_back(Napi::Persistent(object)); }

  private:
    std::vector<Napi::ObjectReference> kept_;
};

/// A promise for the result when `later`, otherwise the result.
Napi::Value perform(Napi::Env env, std::unique_ptr<Work> work, bool later);

inline toprail_text text(const std::string& from) {
    return {from.data(), from.size()};
}

inline std::string string_of(toprail_text from) {
    return from.size == 0 ? std::string() : std::string(from.data, from.size);
}

std::vector<std::string> strings(const Napi::Value& list);
std::vector<toprail_text> texts(const std::vector<std::string>& from);

/// The functions on plans; a plan is an External, made by Shelf::plan.
void add_plan(Napi::Env env, Napi::Object exports);
Napi::Value plan_object(Napi::Env env, Owned<toprail_plan> plan);

}  // namespace toprail::node
